// Open marks for what was measured: one real row each so many pixels, and a thin stroke from the least to the largest of the
// rows between, so that no peak is lost. They are never joined.

import { openMark } from "../sheet/openmark";

export interface Mark {
  x: number;
  y: number;
  /** px of the least and the largest reading around */
  top: number;
  foot: number;
}

/** marksOf picks marks of a column; x and y turn a reading into px. */
export function marksOf(time: number[], values: (number | null)[], x: (t: number) => number, y: (v: number) => number, every: number, shift = 0): Mark[] {
  const out: Mark[] = [];
  let at: Mark | null = null;
  let bin = NaN;
  let middle = 0;
  for (let i = 0; i < time.length; i++) {
    const v = values[i];
    if (v === null || v === undefined) continue;
    const px = x(time[i]!);
    const py = y(v);
    const n = Math.floor((px - shift) / every);
    if (at === null || n !== bin) {
      at = { x: px, y: py, top: py, foot: py };
      out.push(at);
      bin = n;
      middle = shift + (n + 0.5) * every;
    }
    at.top = Math.min(at.top, py);
    at.foot = Math.max(at.foot, py);
    if (Math.abs(px - middle) < Math.abs(at.x - middle)) {
      at.x = px;
      at.y = py;
    }
  }
  return out;
}

const r = 2.3;
const px = (n: number) => Math.round(n * 10) / 10;

/** drawn is the path of marks of the i-th column, and that of the strokes between least and largest. */
export function drawn(marks: Mark[], i: number): { marks: string; spread: string } {
  return {
    marks: marks.map((m) => openMark(i, px(m.x), px(m.y), r)).join(""),
    spread: marks
      .filter((m) => m.foot - m.top > 2 * r)
      .map((m) => `M${px(m.x)} ${px(m.top)}V${px(m.foot)}`)
      .join(""),
  };
}
