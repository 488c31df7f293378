// The window's pane, which is no part of the grid: its outline, and the short slanted strokes by which glass is known.
import type { Cells, Point } from "./cells";
import type { Cut } from "./cut";

/** pane lists its lines as edges: from, to, weight; without what is taken away. */
export function pane(cells: Cells, cut: Cut): number[] {
  const w = cells.window;
  if (w === undefined || w.glass_m === 0) return [];
  const out: number[] = [];
  const at = -w.gap_m - w.glass_m; // its outer side
  const [y0, z0, y1, z1] = [w.min_m[0], w.min_m[1], w.max_m[0], w.max_m[1]];
  const line = (a: [number, number], b: [number, number], depth = at) => out.push(...left([depth, ...a], [depth, ...b], cut));
  line([y0, z0], [y1, z0]);
  line([y0, z1], [y1, z1]);
  line([y0, z0], [y0, z1]);
  line([y1, z0], [y1, z1]);
  const s = Math.min(y1 - y0, z1 - z0);
  for (const k of [0.3, 0.36, 0.42]) line([y0 + s * (k - 0.06), z0 + s * 0.62], [y0 + s * (k + 0.06), z0 + s * 0.78]);
  return out;
}

/** left gives the stretches of a line that are not taken away, as edges. */
function left(a: Point, b: Point, cut: Cut): number[] {
  const shares = [0, 1];
  cut.forEach((p, x) => {
    const t = (p.at - a[x]!) / (b[x]! - a[x]!);
    if (p.on && t > 0 && t < 1) shares.push(t);
  });
  shares.sort((x, y) => x - y);
  const on = (t: number): Point => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t];
  const out: number[] = [];
  for (let i = 0; i + 1 < shares.length; i++) {
    const middle = on((shares[i]! + shares[i + 1]!) / 2);
    const away = cut.some((p) => p.on) && cut.every((p, x) => !p.on || (p.side === 1 ? middle[x]! > p.at : middle[x]! < p.at));
    if (!away) out.push(...on(shares[i]!), ...on(shares[i + 1]!), 0);
  }
  return out;
}
