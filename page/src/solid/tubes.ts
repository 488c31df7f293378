// Tubes as solids, and how the water stands in them. They are drawn whole: a drawing does not cut what is round and full.
import type { Cells, Point, Tube, Water } from "./cells";

/** vertex n has its numbers at n * 12: place, normal, direction of the tube (none at a joint), how far along its row of
 * water from 0 to 1, that row, and at an end the distance from the axis over the radius, else -1 */
export interface Tubes {
  vertices: Float32Array;
  triangles: Uint32Array;
}

export const perVertex = 12;
const around = 20;

/** the rows of water: one for each circuit, then one for passes with a fixed fluid, and one for heaters, which are full */
export function rowsOf(cells: Cells): { circuits: string[]; length: Map<string, number>; count: number } {
  const length = new Map<string, number>();
  for (const t of cells.tubes) if (t.circuit !== undefined) length.set(t.circuit, (length.get(t.circuit) ?? 0) + reach(t));
  const circuits = [...length.keys()];
  return { circuits, length, count: circuits.length + 2 };
}

const reach = (t: Tube) => Math.hypot(t.to_m[0] - t.from_m[0], t.to_m[1] - t.from_m[1], t.to_m[2] - t.from_m[2]);

const same = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) < 1e-6;

/** tubes builds them; none is thinner than a radius in m, so that a line shows. */
export function tubes(cells: Cells, least: number): Tubes {
  const m = new Mesh();
  const rows = rowsOf(cells);
  const at = new Map<string, number>();
  let before: Tube | undefined;
  for (const [t, length] of standingOut(cells, least)) {
    const r = Math.max(t.outer_m / 2, least);
    let row = t.kind === "heater" ? rows.count - 1 : rows.count - 2;
    let [from, to] = [0, 1];
    if (t.circuit !== undefined) {
      row = rows.circuits.indexOf(t.circuit);
      const whole = rows.length.get(t.circuit)!;
      const begun = at.get(t.circuit) ?? 0;
      from = begun / whole;
      to = (begun + length) / whole;
      at.set(t.circuit, begun + length);
    }
    const goesOn = before !== undefined && before.circuit === t.circuit && t.circuit !== undefined && same(before.to_m, t.from_m);
    if (before !== undefined && !goesOn) m.end(before, 1);
    m.side(t, r, from, to, row);
    if (!goesOn) m.end(t, -1);
    else if (!straight(before!, t)) m.joint(t.from_m, r, from, row);
    before = t;
  }
  if (before !== undefined) m.end(before, 1);
  return m.done();
}

/** standingOut lets the free ends of tubes stand out a little, as they do where they are joined to pipes. Beside each stands its own
 * length, along which the water is told. */
function standingOut(cells: Cells, least: number): [Tube, number][] {
  const out = cells.tubes.map((t) => ({ ...t }));
  const by = (t: Tube, p: Point, way: number): Point => {
    const d = direction(t);
    const l = way * Math.max(t.outer_m, 2 * least);
    return [p[0] + d[0] * l, p[1] + d[1] * l, p[2] + d[2] * l];
  };
  out.forEach((t, i) => {
    const [before, after] = [out[i - 1], out[i + 1]];
    if (before === undefined || t.circuit === undefined || before.circuit !== t.circuit) t.from_m = by(t, t.from_m, -1);
    if (after === undefined || t.circuit === undefined || after.circuit !== t.circuit) t.to_m = by(t, t.to_m, 1);
  });
  return [...out.map((t, i): [Tube, number] => [t, reach(cells.tubes[i]!)]), ...cells.heaters.map((t): [Tube, number] => [t, reach(t)])];
}

function direction(t: Tube): Point {
  const l = reach(t) || 1;
  return [(t.to_m[0] - t.from_m[0]) / l, (t.to_m[1] - t.from_m[1]) / l, (t.to_m[2] - t.from_m[2]) / l];
}

function straight(a: Tube, b: Tube): boolean {
  const [p, q] = [direction(a), direction(b)];
  return p[0] * q[0] + p[1] * q[1] + p[2] * q[2] > 0.999;
}

class Mesh {
  private readonly v: number[] = [];
  private readonly i: number[] = [];
  private last: { r: number; from: number; to: number; row: number } | undefined;

  private vertex(p: Point, n: Point, t: Point, s: number, row: number, rim: number): number {
    this.v.push(...p, ...n, ...t, s, row, rim);
    return this.v.length / perVertex - 1;
  }

  side(t: Tube, r: number, from: number, to: number, row: number): void {
    const d = direction(t);
    this.last = { r, from, to, row };
    const first = this.v.length / perVertex;
    for (let k = 0; k <= around; k++) {
      const n = radial(d, (2 * Math.PI * k) / around);
      this.vertex(add(t.from_m, n, r), n, d, from, row, -1);
      this.vertex(add(t.to_m, n, r), n, d, to, row, -1);
    }
    for (let k = 0; k < around; k++) {
      const a = first + 2 * k;
      this.i.push(a, a + 1, a + 2, a + 1, a + 3, a + 2);
    }
  }

  /** end closes the tube that was laid last: at its far end (1), or at its near one (-1) */
  end(t: Tube, which: 1 | -1): void {
    const { r, from, to, row } = this.last!;
    const d = direction(t);
    const n: Point = [d[0] * which, d[1] * which, d[2] * which];
    const middle = which === 1 ? t.to_m : t.from_m;
    const s = which === 1 ? to : from;
    const centre = this.vertex(middle, n, d, s, row, 0);
    for (let k = 0; k <= around; k++) this.vertex(add(middle, radial(d, (2 * Math.PI * k) / around), r), n, d, s, row, 1);
    for (let k = 1; k <= around; k++) this.i.push(centre, centre + k, centre + k + 1);
  }

  joint(at: Point, r: number, s: number, row: number): void {
    const first = this.v.length / perVertex;
    const rings = 10;
    for (let j = 0; j <= rings; j++)
      for (let k = 0; k <= around; k++) {
        const [p, q] = [(Math.PI * j) / rings, (2 * Math.PI * k) / around];
        const n: Point = [Math.sin(p) * Math.cos(q), Math.sin(p) * Math.sin(q), Math.cos(p)];
        this.vertex(add(at, n, r), n, [0, 0, 0], s, row, -1);
      }
    for (let j = 0; j < rings; j++)
      for (let k = 0; k < around; k++) {
        const a = first + j * (around + 1) + k;
        const b = a + around + 1;
        this.i.push(a, b, a + 1, a + 1, b, b + 1);
      }
  }

  done(): Tubes {
    return { vertices: new Float32Array(this.v), triangles: new Uint32Array(this.i) };
  }
}

const add = (p: Point, n: Point, r: number): Point => [p[0] + n[0] * r, p[1] + n[1] * r, p[2] + n[2] * r];

/** radial is a unit vector across a direction that lies along an axis or nearly so. */
function radial(d: Point, angle: number): Point {
  const a = Math.abs(d[0]) > 0.9 ? [0, 1, 0] : [1, 0, 0];
  const u = cross(d, a as Point);
  const l = Math.hypot(...u);
  const e: Point = [u[0] / l, u[1] / l, u[2] / l];
  const f = cross(d, e);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [e[0] * c + f[0] * s, e[1] * c + f[1] * s, e[2] * c + f[2] * s];
}

const cross = (a: Point, b: Point): Point => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/** numbers by which the painter knows how water is drawn */
const patterns: Record<string, number> = { empty: 0, liquid: 1, "subcooled boiling": 2, boiling: 3, stratified: 3, drying: 4, mist: 4, steam: 5 };

export const along = 1024;

/** wetness lays the water's state along every row, so many places each. */
export function wetness(cells: Cells, water: Water | null): Uint8Array {
  const rows = rowsOf(cells);
  const out = new Uint8Array(along * rows.count);
  out.fill(1, along * (rows.count - 2), along * (rows.count - 1));
  for (const c of water?.circuits ?? []) {
    const row = rows.circuits.indexOf(c.name);
    if (row < 0) continue;
    const whole = rows.length.get(c.name)!;
    let from = 0;
    for (const s of c.stretches) {
      const to = Math.min(along, Math.round((s.to_m / whole) * along));
      out.fill(patterns[s.state] ?? 1, along * row + from, along * row + to);
      from = to;
    }
  }
  return out;
}
