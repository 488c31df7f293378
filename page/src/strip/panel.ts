// One panel of the strip: its axis of heights, what is drawn beneath and above its curves, and where names stand.
import type { History } from "../sheet/bench";
import { fixed } from "../sheet/numbers";
import { digitsOf, roundStep } from "../sheet/scale";
import { rowAt } from "../sheet/times";
import { reading } from "../sheet/units";
import type { Apart, Beside } from "./laid";
import { ofWater } from "./laid";
import type { Pen } from "./pen";

export type Values = readonly (number | null)[];

/** a curve of the run with what belongs to it, in the unit that the reader has chosen */
export interface Curve {
  name: string;
  values: Values;
  water: boolean;
  /** which open mark stands for it */
  kind: number;
}

/** something of the same columns over times of its own */
export interface Over {
  time: readonly number[];
  values: Map<string, Values>;
}

export interface Panel {
  unit: string;
  /** the unit as it is written at the axis */
  shown: string;
  time: readonly number[];
  curves: Curve[];
  coarse: Over | null; // beyond where the better answer has got to
  ghost: Over | null;
  laid: Over | null;
  measured: boolean;
  half: Over | null;
  /** differences are drawn about a line at zero, with how well they are known */
  apart: Apart[] | null;
  dashed: boolean; // the whole answer is coarse
  low: number;
  high: number;
  step: number;
  tall: number;
}

export interface Frame {
  left: number;
  top: number;
  width: number;
  height: number;
  x: (t: number) => number;
  y: (v: number) => number;
}

export interface Colours {
  ink: string;
  ink2: string;
  ink3: string;
  line: string;
  hair: string;
  water: string;
  light: string;
  band: string;
  sheet: string;
}

export const coarseDash = [5, 2.5] as const;
export const eventDash = [2, 2] as const;

/** area says which column is drawn as light that falls in. */
export const isLight = (name: string) => name === "absorbed";

/** called is how a column is called at its line. */
export const called = (name: string) => (isLight(name) ? "light taken in" : name);

/** heights lays the axis over values: from and to whole steps. */
export function heights(all: Iterable<Values>, zero: boolean, tall: number): Pick<Panel, "low" | "high" | "step"> {
  let low = Infinity;
  let high = -Infinity;
  for (const values of all) {
    for (const v of values) {
      if (v === null || v === undefined) continue;
      if (v < low) low = v;
      if (v > high) high = v;
    }
  }
  if (low > high) [low, high] = [0, 1];
  if (zero) [low, high] = [Math.min(0, low), Math.max(0, high)];
  if (high - low < 1e-6 * Math.max(1, Math.abs(high))) [low, high] = [low - 0.5, high + 0.5];
  const step = roundStep((high - low) / Math.max(3, Math.round(tall / 42)));
  return { low: Math.floor(low / step + 1e-9) * step, high: Math.ceil(high / step - 1e-9) * step, step };
}

export function ticks({ low, high, step }: Pick<Panel, "low" | "high" | "step">): number[] {
  return Array.from({ length: Math.round((high - low) / step) + 1 }, (_, i) => low + i * step);
}

export function tick(v: number, step: number): string {
  return fixed(v, digitsOf(step));
}

/** over takes columns of a unit out of a history, in the unit that the reader has chosen. */
export function over(h: Pick<History, "time_s" | "columns"> | null, unit: string): Over | null {
  if (h === null || h.time_s.length === 0) return null;
  const { of } = reading(unit);
  const values = new Map<string, Values>();
  for (const c of h.columns) if (c.unit === unit) values.set(c.name, c.values.map((v) => (v === null ? null : of(v))));
  return values.size === 0 ? null : { time: h.time_s, values };
}

/** differing takes half-widths of a unit out of a history: they are differences. */
export function differing(h: Pick<History, "time_s" | "columns"> | null, unit: string): Over | null {
  const plain = over(h, unit);
  const { of } = reading(unit);
  const zero = of(0);
  if (plain !== null) for (const [n, v] of plain.values) plain.values.set(n, v.map((x) => (x === null ? null : x - zero)));
  return plain;
}

export function apartOf(b: Beside | null, unit: string): Apart[] {
  return b?.apart.columns.filter((c) => c.unit === unit) ?? [];
}

const colour = (c: Colours, name: string) => (ofWater(name) ? c.water : c.ink);

function* points(f: Frame, time: readonly number[], values: Values, from = -Infinity): Generator<readonly [number, number] | null> {
  for (let i = 0; i < time.length; i++) {
    if (time[i]! < from) continue;
    const v = values[i];
    if (v === undefined) continue;
    yield v === null ? null : [f.x(time[i]!), f.y(v)];
  }
}

/** beneath draws what lies under the curves: light, bands, the answer before, a run laid over. */
export function beneath(pen: Pen, f: Frame, p: Panel, c: Colours): void {
  pen.within(f.left, f.top, f.width, f.height, () => {
    for (const one of p.curves) if (isLight(one.name)) lightArea(pen, f, p, one, c);
    if (p.half !== null) for (const one of p.curves) band(pen, f, p, one, c);
    for (const half of lanes(f, p)) {
      const [top, foot] = [f.y(half), f.y(-half)];
      pen.fill([[f.left, top], [f.left + f.width, top], [f.left + f.width, foot], [f.left, foot]], c.band);
    }
    if (p.apart !== null) pen.line([[f.left, f.y(0)], [f.left + f.width, f.y(0)]], { colour: c.line, width: 0.9 });
    if (p.ghost !== null) for (const [, v] of p.ghost.values) pen.line([...points(f, p.ghost.time, v)], { colour: c.line, width: 1.2, alpha: 0.55 });
    if (p.laid !== null && !p.measured) {
      for (const [n, v] of p.laid.values) pen.line([...points(f, p.laid.time, v)], { colour: colour(c, n), width: 4, alpha: 0.26 });
    }
  });
}

/** lanes are half-widths within which differences may lie; what looks alike is drawn once. */
function lanes(f: Frame, p: Panel): number[] {
  const out: number[] = [];
  for (const a of p.apart ?? []) if (a.half !== null && out.every((h) => Math.abs(f.y(h) - f.y(a.half!)) > 2)) out.push(a.half);
  return out;
}

function lightArea(pen: Pen, f: Frame, p: Panel, one: Curve, c: Colours): void {
  for (const [time, values, from] of [
    [p.time, one.values, -Infinity],
    [p.coarse?.time ?? [], p.coarse?.values.get(one.name) ?? [], p.time.at(-1) ?? -Infinity],
  ] as const) {
    const top = [...points(f, time, values, from)].filter((q) => q !== null);
    if (top.length > 1) pen.fill([[top[0]![0], f.y(0)], ...top, [top.at(-1)![0], f.y(0)]], c.light);
  }
}

function band(pen: Pen, f: Frame, p: Panel, one: Curve, c: Colours): void {
  const half = p.half!;
  const widths = half.values.get(one.name);
  if (widths === undefined) return;
  const up: (readonly [number, number])[] = [];
  const down: (readonly [number, number])[] = [];
  let k = 0;
  for (let i = 0; i < p.time.length; i++) {
    const [t, v] = [p.time[i]!, one.values[i]];
    while (k + 1 < half.time.length && half.time[k + 1]! <= t) k++;
    const w = widths[k];
    if (v === null || v === undefined || w === null || w === undefined) continue;
    up.push([f.x(t), f.y(v + w)]);
    down.push([f.x(t), f.y(v - w)]);
  }
  if (up.length > 1) pen.fill([...up, ...down.reverse()], c.band);
}

/** above draws what stands on the curves: the coarse answer beyond a better one, and open marks of what was measured. */
export function above(pen: Pen, f: Frame, p: Panel, c: Colours): void {
  pen.within(f.left - 4, f.top - 4, f.width + 8, f.height + 8, () => {
    if (p.coarse !== null) {
      const from = p.time.at(-1) ?? -Infinity;
      for (const one of p.curves) {
        const v = p.coarse.values.get(one.name);
        if (v !== undefined && !isLight(one.name)) pen.line([...points(f, p.coarse.time, v, from)], { colour: colour(c, one.name), width: 1.2, dash: coarseDash });
      }
    }
    if (p.measured && p.laid !== null) {
      for (const one of p.curves) {
        const v = p.laid.values.get(one.name);
        if (v !== undefined) marks(pen, f, p.laid.time, v, one.kind, colour(c, one.name), c.sheet);
      }
    }
  });
}

const apartMarks = 11; // px between open marks, at the least

/** marks sets open marks so far apart that each is seen; where values leap meanwhile, the least and the largest have one. */
export function marks(pen: Pen, f: Frame, time: readonly number[], values: Values, kind: number, ink: string, paper: string): void {
  let from = -Infinity;
  let first: readonly [number, number] | null = null;
  let least: readonly [number, number] | null = null;
  let most: readonly [number, number] | null = null;
  const set = () => {
    if (first === null || least === null || most === null) return;
    const both = Math.abs(most[1] - least[1]) > apartMarks;
    for (const q of both ? [least, most] : [first]) pen.mark(q[0], q[1], kind, ink, paper);
    first = least = most = null;
  };
  for (const q of points(f, time, values)) {
    if (q === null || q[0] < f.left - 4 || q[0] > f.left + f.width + 4) continue;
    if (q[0] - from >= apartMarks) {
      set();
      from = q[0];
    }
    first ??= q;
    if (least === null || q[1] < least[1]) least = q;
    if (most === null || q[1] > most[1]) most = q;
  }
  set();
}

/** valueAt is the last value at or before a time, and NaN where there is none. */
export function valueAt(time: readonly number[], values: Values, t: number): number {
  return values[rowAt(time, t)] ?? NaN;
}
