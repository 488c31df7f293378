// The surface of what is left when a part of the receiver is taken away: rectangles, and the edges between them.
import type { Cells, Part } from "./cells";
import type { Cut } from "./cut";

/** cells that look the same: of one role and material */
export interface Look {
  role: Part["role"];
  melts: boolean;
  name: string;
}

/** rectangle n has its numbers at n * 8: axis of its normal, its place along that, the two corners across (the next axis and the
 * one after that), which layer of cells it shows, look * 2 + (1 where it was cut). Lengths in m. */
export interface Surface {
  looks: Look[];
  rectangles: Float32Array;
  /** segment n at n * 7: from, to, weight: 0 visible, 1 outline of a cut */
  edges: Float32Array;
}

export const perRectangle = 8;
export const perEdge = 7;

/** nameOf is what a part is called on the drawing. */
function nameOf(p: Part): string {
  const of = (p.of ?? "").replaceAll("-", " ");
  if (p.role === "jacket") return `jacket, ${of}`;
  if (p.role === "fixtures") return `${p.name.replace(/ (left|right|front|back|\d+)$/, "")}, ${of}`;
  return of === "" ? p.name : of;
}

export function looksOf(parts: Part[]): { looks: Look[]; look: number[] } {
  const looks: Look[] = [];
  const look = parts.map((p) => {
    if (p.air === true) return -1;
    const name = nameOf(p);
    let i = looks.findIndex((l) => l.role === p.role && l.name === name);
    if (i < 0) i = looks.push({ role: p.role, melts: p.melts === true, name }) - 1;
    return i;
  });
  return { looks, look };
}

/** split adds the plane of a cut to the lines of an axis. cell tells to which cell each stretch belongs, away whether it lies on
 * the side that is taken. */
function split(lines: number[], p: Cut[number]): { at: number[]; cell: Int32Array; away: Uint8Array } {
  const at = [...lines];
  const small = 1e-6 * (lines.at(-1)! - lines[0]!);
  if (p.on && !lines.some((x) => Math.abs(x - p.at) < small)) at.push(p.at);
  at.sort((a, b) => a - b);
  const n = at.length - 1;
  const cell = new Int32Array(n);
  const away = new Uint8Array(n);
  for (let i = 0, c = 0; i < n; i++) {
    const middle = 0.5 * (at[i]! + at[i + 1]!);
    while (middle > lines[c + 1]!) c++;
    cell[i] = c;
    away[i] = !p.on || (p.side === 1 ? middle > p.at : middle < p.at) ? 1 : 0;
  }
  return { at, cell, away };
}

/** surface finds what is seen of the cells that are left. */
export function surface(cells: Cells, cut: Cut): Surface {
  const { looks, look } = looksOf(cells.parts);
  const s = cells.lines_m.map((l, a) => split(l, cut[a]!));
  const n = s.map((x) => x.at.length - 1);
  const some = cut.some((p) => p.on);
  const [nx, ny] = [n[0]!, n[1]!];
  const step = [1, nx, nx * ny];
  // what stands in each stretch: 0 air, look * 2 + 2 where it is left, look * 2 + 3 where it is taken away
  const state = new Int16Array(nx * ny * n[2]!);
  for (let k = 0, c = 0; k < n[2]!; k++)
    for (let j = 0; j < ny; j++) {
      const row = cells.counts[0] * (s[1]!.cell[j]! + cells.counts[1] * s[2]!.cell[k]!);
      const away = some && s[1]!.away[j]! === 1 && s[2]!.away[k]! === 1;
      for (let i = 0; i < nx; i++, c++) {
        const p = cells.part[row + s[0]!.cell[i]!]!;
        const l = p < 0 ? -1 : look[p]!;
        state[c] = l < 0 ? 0 : l * 2 + (away && s[0]!.away[i]! === 1 ? 3 : 2);
      }
    }
  const rectangles: number[] = [];
  const edges = new Edges();
  for (let a = 0; a < 3; a++) {
    const [b, d] = [(a + 1) % 3, (a + 2) % 3];
    const [nb, nd] = [n[b]!, n[d]!];
    const mask = new Int16Array(nb * nd);
    for (let layer = 0; layer <= n[a]!; layer++) {
      for (const side of [0, 1]) {
        // faces of the layer below (side 0) that look up the axis, and of the one above that look down
        const mine = side === 0 ? layer - 1 : layer;
        const other = side === 0 ? layer : layer - 1;
        if (mine < 0 || mine >= n[a]!) continue;
        let any = false;
        for (let v = 0, m = 0; v < nd; v++)
          for (let u = 0; u < nb; u++, m++) {
            const across = u * step[b]! + v * step[d]!;
            const here = state[across + mine * step[a]!]!;
            if (here < 2 || (here & 1) === 1) {
              mask[m] = 0;
              continue;
            }
            const there = other < 0 || other >= n[a]! ? 0 : state[across + other * step[a]!]!;
            if (there >= 2 && (there & 1) === 0) mask[m] = 0;
            else {
              mask[m] = here + (there >= 2 ? 1 : 0); // look * 2 + 2, and 1 where it was cut
              any = true;
            }
          }
        if (!any) continue;
        edges.add(a, s[a]!.at[layer]!, mask, s[b]!.at, s[d]!.at);
        merge(mask, nb, nd, (u0, v0, u1, v1, what) => rectangles.push(a, s[a]!.at[layer]!, s[b]!.at[u0]!, s[d]!.at[v0]!, s[b]!.at[u1]!, s[d]!.at[v1]!, s[a]!.cell[mine]!, what - 2));
      }
    }
  }
  return { looks, rectangles: new Float32Array(rectangles), edges: edges.all() };
}

/** merge covers equal neighbours of a mask by as large rectangles as runs along rows allow, and empties it. */
function merge(mask: Int16Array, nu: number, nv: number, each: (u0: number, v0: number, u1: number, v1: number, what: number) => void): void {
  for (let v = 0; v < nv; v++)
    for (let u = 0; u < nu; u++) {
      const what = mask[u + nu * v]!;
      if (what === 0) continue;
      let u1 = u + 1;
      while (u1 < nu && mask[u1 + nu * v] === what) u1++;
      let v1 = v + 1;
      rows: for (; v1 < nv; v1++) for (let x = u; x < u1; x++) if (mask[x + nu * v1] !== what) break rows;
      for (let y = v; y < v1; y++) mask.fill(0, u + nu * y, u1 + nu * y);
      each(u, v, u1, v1, what);
    }
}

/** Edges takes the borders of faces together: an edge of two planes is drawn once, and neighbours in a line as one. */
class Edges {
  /** by the line's axis and its place: stretches with their weight */
  private readonly lines = new Map<string, { axis: number; fixed: [number, number]; runs: [number, number, number][] }>();

  /** add takes in a plane of faces: what its mask shows across u and v. */
  add(axis: number, at: number, mask: Int16Array, u: number[], v: number[]): void {
    const [b, d] = [(axis + 1) % 3, (axis + 2) % 3];
    const nu = u.length - 1;
    const nv = v.length - 1;
    const of = (i: number, j: number) => (i < 0 || j < 0 || i >= nu || j >= nv ? 0 : mask[i + nu * j]!);
    const weight = (x: number, y: number) => ((x & 1) === 1 || (y & 1) === 1 ? 1 : 0);
    for (let i = 0; i <= nu; i++)
      for (let j = 0; j < nv; j++) {
        const [x, y] = [of(i - 1, j), of(i, j)];
        if (x !== y) this.put(d, [at, u[i]!], axis, v[j]!, v[j + 1]!, weight(x, y));
      }
    for (let j = 0; j <= nv; j++)
      for (let i = 0; i < nu; i++) {
        const [x, y] = [of(i, j - 1), of(i, j)];
        if (x !== y) this.put(b, [at, v[j]!], axis, u[i]!, u[i + 1]!, weight(x, y));
      }
  }

  private put(along: number, [at, across]: [number, number], axis: number, from: number, to: number, weight: number): void {
    // the two axes across the line, in the order next and after next
    const fixed: [number, number] = (along + 1) % 3 === axis ? [at, across] : [across, at];
    const key = `${along} ${fixed[0]} ${fixed[1]}`;
    const line = this.lines.get(key);
    if (line === undefined) this.lines.set(key, { axis: along, fixed, runs: [[from, to, weight]] });
    else {
      const last = line.runs.at(-1)!;
      if (last[1] === from && last[2] === weight) last[1] = to;
      else line.runs.push([from, to, weight]);
    }
  }

  all(): Float32Array {
    const out: number[] = [];
    for (const { axis, fixed, runs } of this.lines.values()) {
      for (const [from, to, weight] of joined(runs)) {
        const p = [0, 0, 0];
        p[(axis + 1) % 3] = fixed[0];
        p[(axis + 2) % 3] = fixed[1];
        p[axis] = from;
        out.push(...p);
        p[axis] = to;
        out.push(...p, weight);
      }
    }
    return new Float32Array(out);
  }
}

/** joined lays stretches that overlap over one another, the heavier one on top. */
function joined(runs: [number, number, number][]): [number, number, number][] {
  if (runs.length === 1) return runs;
  const places = [...new Set(runs.flatMap(([a, b]) => [a, b]))].sort((a, b) => a - b);
  const out: [number, number, number][] = [];
  for (let i = 0; i + 1 < places.length; i++) {
    const [from, to] = [places[i]!, places[i + 1]!];
    let weight = -1;
    for (const [a, b, w] of runs) if (a <= from && b >= to) weight = Math.max(weight, w);
    if (weight < 0) continue;
    const last = out.at(-1);
    if (last !== undefined && last[1] === from && last[2] === weight) last[1] = to;
    else out.push([from, to, weight]);
  }
  return out;
}
