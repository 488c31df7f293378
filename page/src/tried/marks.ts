// Open marks for what was measured: one real row each so many pixels, and a thin stroke from the least to the largest of the
// rows between, so that no peak is lost. They are never joined.

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
/** shapes tell columns apart where ink is all there is */
const shapes: ((x: number, y: number) => string)[] = [
  (x, y) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`,
  (x, y) => `M${x} ${y - 1.2 * r}L${x + 1.15 * r} ${y + 0.9 * r}L${x - 1.15 * r} ${y + 0.9 * r}Z`,
  (x, y) => `M${x - 0.9 * r} ${y - 0.9 * r}h${1.8 * r}v${1.8 * r}h${-1.8 * r}Z`,
  (x, y) => `M${x} ${y - 1.3 * r}L${x + 1.3 * r} ${y}L${x} ${y + 1.3 * r}L${x - 1.3 * r} ${y}Z`,
  (x, y) => `M${x} ${y + 1.2 * r}L${x + 1.15 * r} ${y - 0.9 * r}L${x - 1.15 * r} ${y - 0.9 * r}Z`,
  (x, y) => `M${x - r} ${y - 1.1 * r}h${2 * r}l${-2 * r} ${2.2 * r}h${2 * r}Z`,
  (x, y) => `M${x - 0.9 * r} ${y - 1.15 * r}L${x + 1.1 * r} ${y}L${x - 0.9 * r} ${y + 1.15 * r}Z`,
];

const px = (n: number) => Math.round(n * 10) / 10;

/** drawn is the path of marks of the i-th column, and that of the strokes between least and largest. */
export function drawn(marks: Mark[], i: number): { marks: string; spread: string } {
  const shape = shapes[i % shapes.length]!;
  return {
    marks: marks.map((m) => shape(px(m.x), px(m.y))).join(""),
    spread: marks
      .filter((m) => m.foot - m.top > 2 * r)
      .map((m) => `M${px(m.x)} ${px(m.top)}V${px(m.foot)}`)
      .join(""),
  };
}
