// Open marks for what was measured: one shape a column, where ink is all there is to tell columns apart.

type Shape = (x: number, y: number, r: number) => string;

const shapes: readonly Shape[] = [
  (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`,
  (x, y, r) => `M${x} ${y - 1.2 * r}L${x + 1.15 * r} ${y + 0.9 * r}L${x - 1.15 * r} ${y + 0.9 * r}Z`,
  (x, y, r) => `M${x - 0.9 * r} ${y - 0.9 * r}h${1.8 * r}v${1.8 * r}h${-1.8 * r}Z`,
  (x, y, r) => `M${x} ${y - 1.3 * r}L${x + 1.3 * r} ${y}L${x} ${y + 1.3 * r}L${x - 1.3 * r} ${y}Z`,
  (x, y, r) => `M${x} ${y + 1.2 * r}L${x + 1.15 * r} ${y - 0.9 * r}L${x - 1.15 * r} ${y - 0.9 * r}Z`,
  (x, y, r) => `M${x - r} ${y - 1.1 * r}h${2 * r}l${-2 * r} ${2.2 * r}h${2 * r}Z`,
  (x, y, r) => `M${x - 0.9 * r} ${y - 1.15 * r}L${x + 1.1 * r} ${y}L${x - 0.9 * r} ${y + 1.15 * r}Z`,
];

/** openMark is the path of the mark of the i-th column, its half-width in px. */
export const openMark = (i: number, x: number, y: number, half: number): string => shapes[i % shapes.length]!(x, y, half);
