// Names at the right of a panel: each at its curve's end, apart from the others, with the value at the cursor.
import { fixed } from "../sheet/numbers";
import { parted } from "../sheet/scale";
import { moment } from "../sheet/times";
import { reading } from "../sheet/units";
import { type Colours, type Frame, type Panel, called, isLight, valueAt } from "./panel";
import type { Pen } from "./pen";

export interface Name {
  name: string;
  value: string;
  below: string; // of a difference: its largest
  water: boolean;
  kind: number | null;
  end: number; // the height of the curve at the end of the axis
}

/** names of a panel with their values at the cursor. */
export function namesOf(p: Panel, cursor: number, to: number): Name[] {
  const digits = reading(p.unit).digits;
  const out = p.curves.map((c) => {
    const past = p.coarse !== null && cursor > (p.time.at(-1) ?? Infinity);
    const own = past ? valueAt(p.coarse!.time, p.coarse!.values.get(c.name) ?? [], cursor) : valueAt(p.time, c.values, cursor);
    const [time, values] = p.coarse !== null && to > (p.time.at(-1) ?? Infinity) ? [p.coarse.time, p.coarse.values.get(c.name) ?? []] : [p.time, c.values];
    let end = valueAt(time, values, to);
    for (let i = time.length - 1; i >= 0 && Number.isNaN(end); i--) if (time[i]! <= to) end = values[i] ?? NaN;
    const a = p.apart?.find((x) => x.name === c.name);
    const other = p.laid?.values.get(c.name);
    const beside = other === undefined || cursor > p.laid!.time.at(-1)! ? NaN : valueAt(p.laid!.time, other, cursor);
    const sign = p.apart !== null && own > 0 ? "+" : "";
    return {
      name: called(c.name),
      value: fixed(own, digits) === "" ? "" : sign + fixed(own, digits) + (Number.isNaN(beside) ? "" : ` | ${fixed(beside, digits)}`),
      below: a === undefined || a.most === null ? "" : `largest ${a.most > 0 ? "+" : ""}${fixed(a.most, digits)} at ${moment(a.most_at_s ?? 0)}${a.within === null ? "" : `, ${Math.round(100 * a.within)}\u2009% within`}`,
      water: c.water,
      kind: p.measured && (p.apart !== null || other !== undefined) ? c.kind : null,
      end: isLight(c.name) ? valueAt(p.time, c.values, (p.time[0] ?? 0) + 1) : end,
    };
  });
  return out.sort((a, b) => (Number.isNaN(a.end) ? 1 : Number.isNaN(b.end) ? -1 : b.end - a.end));
}

const mostWide = 320; // px

/** wide is the room that the names of all panels need at the right, px. */
export function wide(all: Name[][], measure: (text: string, italic: boolean) => number): number {
  let w = 90;
  for (const names of all) {
    const number = Math.max(0, ...names.map((n) => measure(n.value, false)));
    for (const n of names) w = Math.max(w, 36 + measure(n.name, true) + number, 36 + measure(n.below, false));
  }
  return Math.min(mostWide, Math.ceil(w));
}

/** writeNames draws the names with thin lines to their curves' ends. */
export function writeNames(pen: Pen, f: Frame, p: Panel, names: Name[], room: number, size: number, c: Colours): void {
  const tall = names.some((n) => n.below !== "") ? 2 : 1;
  const gap = 15.5 * (size / 12.5) * tall;
  const wishes = names.map((n) => (Number.isNaN(n.end) ? f.top + f.height : f.y(n.end)) - (tall - 1) * 7);
  const at = parted(wishes, gap, f.top + 2, f.top + f.height - (tall - 1) * 15);
  const x = f.left + f.width;
  names.forEach((n, i) => {
    const ink = n.water ? c.water : c.ink;
    const y = at[i]!;
    if (!Number.isNaN(n.end)) pen.line([[x + 2, f.y(n.end)], [x + 12, y]], { colour: c.line, width: 0.6 });
    if (n.kind !== null) pen.mark(x + 18, y, n.kind, ink, c.sheet);
    pen.words(x + (n.kind === null ? 15 : 25), y + 4, n.name, { size, italic: true, colour: ink });
    pen.words(x + room - 2, y + 4, n.value, { size: size - 1, anchor: "end", colour: p.dashed ? c.ink3 : c.ink, halo: c.sheet });
    if (n.below !== "") pen.words(x + room - 2, y + 4 + 13 * (size / 12.5), n.below, { size: size - 1.5, anchor: "end", colour: c.ink2 });
  });
}
