// The whole strip at one moment: its panels, made of what is known, and what runs through all of them.
import { computed } from "@preact/signals";
import { moved, run } from "../sheet/state";
import { reading } from "../sheet/units";
import { colour } from "../sheet/theme";
import { view } from "../sheet/view";
import type { Apart } from "./laid";
import { ofWater } from "./laid";
import { type Colours, type Curve, type Over, type Panel, apartOf, differing, heights, over } from "./panel";
import { axis, bands, behind, detail, ghost, laid, whole } from "./store";

/** what runs through all panels */
export interface Through {
  from: number;
  to: number;
  cursor: number;
  events: readonly { at_s: number }[];
  phases: readonly { name: string; from_s: number; to_s: number }[];
  /** s, where the march has got to; null: it is not under way */
  reached: number | null;
  /** what the curves are beyond that */
  beyond: string;
}

/** the order of panels, by the units of files, with the heights that they have at the least, px */
const order: [unit: string, tall: number][] = [
  ["degC", 208],
  ["W", 92],
  ["kg/s", 84],
  ["J", 84],
  ["1", 74],
  ["Pa", 74],
  ["m", 74],
];
const rowTall = 15.5; // px of a name

/** finite is the cursor as a time of the run: beyond the end it stands at the end. */
export function cursor(): number {
  const h = whole.value;
  return Math.min(view.value.time, h?.time_s.at(-1) ?? 0);
}

export function through(): Through {
  const m = moved.value;
  const [from, to] = axis.value;
  const going = m?.state === "computing";
  return {
    from,
    to,
    cursor: cursor(),
    events: run.value?.events ?? [],
    phases: laid.value?.phases ?? [],
    reached: going && m.computes !== "nothing" ? m.reached_s : null,
    beyond: behind.value !== null ? "coarse beyond" : m?.old === true ? "the curves are of before" : "not yet beyond",
  };
}

/** panels are those of the chosen columns, and below them the differences to what is laid over; the same while these are. */
export const panels = (): Panel[] => laidOut.value;

const laidOut = computed<Panel[]>(() => {
  const all = whole.value;
  if (all === null) return [];
  const units = [...new Set(all.columns.map((c) => c.unit))];
  const known = order.filter(([u]) => units.includes(u));
  const more = units.filter((u) => order.every(([o]) => o !== u)).map((u) => [u, 74] as [string, number]);
  const list = [...known, ...more].map(([u, tall]) => own(u, tall));
  return [...list.filter((p) => p !== null), ...differences(units)];
});

function own(unit: string, least: number): Panel | null {
  const all = over(whole.value, unit);
  if (all === null) return null;
  const better = over(behind.value, unit);
  const looked = over(detail.value, unit) ?? all;
  const main = better ?? looked;
  const names = [...all.values].filter(([, v]) => v.some((x) => x !== null)).map(([n]) => n);
  const curves: Curve[] = names.map((n, kind) => ({ name: n, values: main.values.get(n) ?? [], water: ofWater(n), kind }));
  if (curves.length === 0) return null;
  const other = over(laid.value, unit);
  const tall = Math.max(least, rowTall * curves.length + 8);
  const zero = unit !== "degC";
  const seen = [...all.values.values(), ...(better?.values.values() ?? []), ...(other?.values.values() ?? [])];
  return {
    unit,
    shown: reading(unit).name,
    time: main.time,
    curves,
    coarse: better === null ? null : looked,
    ghost: over(ghost.value, unit),
    laid: other,
    measured: laid.value?.measured === true,
    half: better === null ? differing(bands.value, unit) : null,
    apart: null,
    dashed: better === null && whole.value?.coarse === true,
    ...heights(seen, zero, tall),
    tall,
  };
}

function differences(units: string[]): Panel[] {
  const b = laid.value;
  const out: Panel[] = [];
  for (const u of units) {
    const unit = u === "degC" ? "K" : u;
    const of = apartOf(b, unit);
    if (b === null || of.length === 0) continue;
    const { of: to, name } = reading(unit);
    const time: Over = { time: b.apart.time_s, values: new Map(of.map((c) => [c.name, c.values.map((v) => (v === null ? null : to(v)))])) };
    const tall = Math.max(92, 2 * rowTall * of.length + 8);
    const scaled: Apart[] = of.map((c) => ({ ...c, half: c.half === null ? null : to(c.half), most: c.most === null ? null : to(c.most) }));
    out.push({
      unit,
      shown: name,
      time: time.time,
      curves: of.map((c, kind) => ({ name: c.name, values: time.values.get(c.name)!, water: ofWater(c.name), kind: kindOf(c.name, u, kind) })),
      coarse: null,
      ghost: null,
      laid: null,
      measured: b.measured,
      half: null,
      apart: scaled,
      dashed: false,
      ...heights([...time.values.values(), scaled.flatMap((c) => (c.half === null ? [] : [c.half, -c.half]))], true, tall),
      tall,
    });
  }
  return out;
}

/** kindOf is the open mark that a column has in its own panel. */
function kindOf(name: string, unit: string, otherwise: number): number {
  const at = whole.value?.columns.filter((c) => c.unit === unit && c.values.some((v) => v !== null)).findIndex((c) => c.name === name) ?? -1;
  return at < 0 ? otherwise : at;
}

/** colours are those of the page as it is now. */
export function colours(): Colours {
  return {
    ink: colour("--ink"),
    ink2: colour("--ink2"),
    ink3: colour("--ink3"),
    line: colour("--line"),
    hair: colour("--hair"),
    water: colour("--water"),
    light: colour("--light"),
    band: colour("--band"),
    sheet: colour("--sheet"),
  };
}

export const paper: Colours = {
  ink: "#17211f",
  ink2: "#4a5653",
  ink3: "#626e6a",
  line: "#8c9894",
  hair: "#d3dad6",
  water: "#0b6e7d",
  light: "#e9dfa8",
  band: "#17211f22",
  sheet: "#ffffff",
};
