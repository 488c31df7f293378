// Lines and areas of the day's figures as SVG paths.

export type Point = readonly [x: number, y: number];

const short = (x: number) => String(Math.round(x * 10) / 10);

/** line joins points; null lifts the pen. */
export function line(points: readonly (Point | null)[]): string {
  let down = false;
  let d = "";
  for (const p of points) {
    if (p === null) {
      down = false;
      continue;
    }
    d += `${down ? "L" : "M"}${short(p[0])} ${short(p[1])}`;
    down = true;
  }
  return d;
}

/** area is what lies between points and a level. */
export function area(points: readonly Point[], level: number): string {
  if (points.length < 2) return "";
  return `${line([[points[0]![0], level], ...points, [points.at(-1)![0], level]])}Z`;
}

export interface Given {
  time: readonly number[];
  wanted: readonly (number | null)[];
  given: readonly (number | null)[];
}

/** heldTo are the points of what was given over time. Where nothing is wanted any more the last row before is held to that moment: water
 * is shut then, and what rows cannot show between is no shortage. */
export function heldTo({ time, wanted, given }: Given): [t: number, v: number][] {
  const out: [number, number][] = [];
  time.forEach((t, i) => {
    const before = i > 0 ? (wanted[i - 1] ?? 0) : 0;
    if (i > 0 && before > 0 && !((wanted[i] ?? 0) > 0)) out.push([t, given[i - 1] ?? 0]);
    out.push([t, given[i] ?? 0]);
  });
  return out;
}

/** openFrom are the stretches of time in which more than so many circuits were open. */
export function openFrom(time: readonly number[], open: readonly (number | null)[], more: number): [from: number, to: number][] {
  const out: [number, number][] = [];
  let from = NaN;
  time.forEach((t, i) => {
    const is = (open[i] ?? 0) > more;
    if (is && Number.isNaN(from)) from = t;
    if (!is && !Number.isNaN(from)) {
      out.push([from, t]);
      from = NaN;
    }
  });
  if (!Number.isNaN(from)) out.push([from, time.at(-1) ?? from]);
  return out;
}
