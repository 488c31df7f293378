// What is taken away of the receiver, and from where it is looked at. Both stand in the address.
import { signal } from "@preact/signals";
import type { Axis } from "../sheet/bench";
import { fixed } from "../sheet/numbers";
import { look, view } from "../sheet/view";
import type { Cells, Point } from "./cells";

export const axes: readonly Axis[] = ["depth", "width", "height"];
/** sides at low and at high coordinates */
export const sides = [
  ["front", "back"],
  ["left", "right"],
  ["bottom", "top"],
] as const;

/** a plane that bounds what is taken away: all beyond it, where the others agree */
export interface Plane {
  on: boolean;
  /** which side of it is taken away: 0 the low one, 1 the high one */
  side: 0 | 1;
  /** m */
  at: number;
}

export type Cut = [Plane, Plane, Plane];

export interface Turn {
  /** degrees: 0 looks into the window, 90 from the right */
  around: number;
  /** degrees above the level */
  above: number;
  /** times the scale at which the whole fits */
  zoom: number;
}

/** whether the cut-away stands in the place of the section */
export const cutAway = () => view.value.also["drawn"] === "cut-away";

export const show = (solid: boolean) => look({ also: { ...view.value.also, drawn: solid ? "cut-away" : "" } });

/** what is being turned or moved just now. It comes into the address when the hand rests: a browser takes only so many changes of
 * an address in a second, and all that is on the sheet looks at it. */
const moving = signal<Record<string, string>>({});
let resting = 0;

const said = (word: "from" | "away"): string | undefined => moving.value[word] ?? view.value.also[word];

function say(word: "from" | "away", what: string): void {
  moving.value = { ...moving.value, [word]: what };
  clearTimeout(resting);
  resting = setTimeout(() => {
    if (cutAway()) look({ also: { ...view.value.also, ...moving.value } });
    moving.value = {};
  }, 300);
}

/** asSaid is what stands for turn and cut: as long as it is the same, they are. */
export const turnAsSaid = () => said("from") ?? "";
export const cutAsSaid = () => said("away") ?? "";

const firstTurn: Turn = { around: 52, above: 24, zoom: 1 };

/** the plane that `,` and `.` move */
export const inHand = signal<0 | 1 | 2>(1);

export function turn(): Turn {
  const [around, above, zoom] = turnAsSaid().split(" ").map(Number);
  if (!Number.isFinite(around) || !Number.isFinite(above)) return firstTurn;
  return { around: around!, above: Math.max(-90, Math.min(90, above!)), zoom: Number.isFinite(zoom) ? Math.max(0.5, Math.min(8, zoom!)) : 1 };
}

export function setTurn(t: Turn): void {
  const around = ((t.around % 360) + 360) % 360;
  const all = [around, Math.max(-90, Math.min(90, t.above)), Math.max(0.5, Math.min(8, t.zoom))].map((x) => String(Math.round(x * 100) / 100));
  say("from", all.join(" "));
}

export const wholeTurn = () => say("from", "");

/** middle of the block along an axis, in m; a plane that has not been moved stands there */
const middle = (c: Cells, a: number) => {
  const b = c.parts.find((p) => p.role === "block");
  return b === undefined ? (c.lines_m[a]![0]! + c.lines_m[a]!.at(-1)!) / 2 : (b.min_m[a]! + b.max_m[a]!) / 2;
};

/** cut reads what is taken away: in the address, such as "right 150 top 150" in mm, else the right upper quarter. */
export function cut(c: Cells): Cut {
  const out = axes.map((_, a) => ({ on: false, side: a === 0 ? 0 : 1, at: middle(c, a) })) as Cut;
  const planes = cutAsSaid();
  if (planes === "") {
    out[1].on = out[2].on = true;
    return out;
  }
  const words = planes.split(" ");
  for (let i = 0; i + 1 < words.length; i += 2) {
    const a = sides.findIndex((s) => (s as readonly string[]).includes(words[i]!));
    const mm = Number(words[i + 1]);
    if (a < 0 || !Number.isFinite(mm)) continue;
    const l = c.lines_m[a]!;
    out[a] = { on: true, side: sides[a]![0] === words[i] ? 0 : 1, at: Math.max(l[0]!, Math.min(l.at(-1)!, mm / 1e3)) };
  }
  return out;
}

export function setCut(planes: Cut): void {
  const all = planes.flatMap((p, a) => (p.on ? [sides[a]![p.side], String(Math.round(p.at * 1e4) / 10)] : []));
  say("away", all.length > 0 ? all.join(" ") : "nothing");
}

/** movePlane moves the plane in hand by a share of the receiver's extent; one that cut nothing begins to. */
export function movePlane(c: Cells, share: number): void {
  const planes = cut(c);
  const p = planes[inHand.value];
  const l = c.lines_m[inHand.value]!;
  const low = l[0]!;
  const high = l.at(-1)!;
  if (p.on) p.at = Math.max(low, Math.min(high, p.at + share * (high - low)));
  p.on = true;
  setCut(planes);
}

/** taken says in words what is taken away. */
export function taken(planes: Cut): string {
  const all = planes.flatMap((p, a) => (p.on ? [`${sides[a]![p.side]} of ${axes[a]!} ${fixed(p.at * 1e3, 0)}\u2009mm`] : []));
  if (all.length === 0) return "Nothing is taken away.";
  const how = ["", "The part", "The quarter", "The corner"][all.length];
  return `${how} ${all.join(" and ")} is taken away.`;
}

/** fromWhere says in words from where it is looked at. */
export function fromWhere(t: Turn): string {
  const eighth = Math.round(t.around / 45) % 8;
  const level = ["the front", "the front and right", "the right", "the back and right", "the back", "the back and left", "the left", "the front and left"][eighth]!;
  if (t.above > 75) return "above";
  if (t.above < -75) return "below";
  return t.above > 8 ? `${level}, from above` : t.above < -8 ? `${level}, from below` : level;
}

/** directions of the paper in the receiver's own: to the right, upwards, and towards the eye */
export function frameOf(t: Turn): { right: Point; up: Point; eye: Point } {
  const y = (t.around * Math.PI) / 180;
  const p = (t.above * Math.PI) / 180;
  const [cy, sy, cp, sp] = [Math.cos(y), Math.sin(y), Math.cos(p), Math.sin(p)];
  // Who stands before the window looks along the depth and has width to the right.
  return { right: [sy, cy, 0], eye: [-cy * cp, sy * cp, sp], up: [cy * sp, -sy * sp, cp] };
}
