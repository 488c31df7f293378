// What the cut-away is drawn from, as the server tells it: the cells of an answer, their temperatures at a moment, the water.
import { address, ask, Refused } from "../sheet/ask";

export type Point = [number, number, number];

export interface Part {
  name: string;
  role: "block" | "insulation" | "jacket" | "fixtures" | "boxes";
  air?: boolean;
  of?: string;
  melts?: boolean;
  min_m: Point;
  max_m: Point;
}

export interface Tube {
  circuit?: string;
  pass: string;
  kind: "pass" | "lead" | "bend" | "heater";
  from_m: Point;
  to_m: Point;
  outer_m: number;
  inner_m: number;
}

interface Told {
  answer: number;
  lines_m: [number[], number[], number[]];
  parts: Part[];
  filled: number[];
  tubes: Tube[];
  heaters: Tube[];
  window?: { min_m: [number, number]; max_m: [number, number]; gap_m: number; glass_m: number };
  moments_s: number[];
}

/** the grid of an answer; cells are numbered with depth running fastest, then width, then height */
export interface Cells extends Told {
  run: string;
  counts: Point;
  /** which part fills each cell; -1: air */
  part: Int16Array;
}

/** the rule of temperature: its ends in °C, the step of its tints and of isotherms in K */
export interface Rule {
  low: number;
  high: number;
  tint: number;
  isotherm: number;
}

export interface Field {
  time_s: number;
  rule: Rule;
  /** °C of each cell, then in air that of a solid neighbour */
  temperature: Float32Array;
  /** °C of the cells of the block, beside it as in it: where it ends the temperature bends, and is not drawn across */
  inside: Float32Array;
  /** 0 to 1 */
  melted: Float32Array;
}

export interface Water {
  time_s: number;
  circuits: { name: string; state: string; stretches: { to_m: number; state: string }[] }[];
}

export async function askCells(run: string): Promise<Cells> {
  const told = await ask<Told>("run/cells", { name: run });
  const counts = told.lines_m.map((l) => l.length - 1) as Point;
  const part = new Int16Array(counts[0] * counts[1] * counts[2]);
  let c = 0;
  for (let i = 0; i + 1 < told.filled.length; i += 2) {
    part.fill(told.filled[i + 1]!, c, c + told.filled[i]!);
    c += told.filled[i]!;
  }
  return { ...told, run, counts, part };
}

export async function askField(cells: Cells, time: number): Promise<Field> {
  const r = await fetch(address("run/cells/field", { name: cells.run, time, answer: cells.answer }));
  if (!r.ok) throw new Refused(r.status, `The temperatures of the cut-away do not come: ${r.statusText}`);
  const raw = await r.arrayBuffer();
  const n = cells.part.length;
  const temperature = new Float32Array(raw, 0, n); // every machine that browsers run on is little-endian
  const inside = only(temperature, cells, (p) => p.role === "block");
  spread(temperature, cells.counts);
  const melted = new Float32Array(raw, 4 * n, n);
  // a melting front ends at the rim of what melts
  const [low = 0, high = 1, tint = 1, isotherm = 1] = (r.headers.get("Rule") ?? "").split(" ").map(Number);
  return { time_s: Number(r.headers.get("Field-Time")), rule: { low, high, tint, isotherm }, temperature, inside, melted: only(melted, cells, (p) => p.melts === true) };
}

export const askWater = (cells: Cells, time: number) => ask<Water>("run/cells/water", { name: cells.run, time, answer: cells.answer });

/** only keeps the values of cells of some parts, and continues them a little beyond. */
function only(values: Float32Array, cells: Cells, of: (p: Part) => boolean): Float32Array {
  const wanted = cells.parts.map(of);
  const out = values.map((x, c) => (wanted[cells.part[c]!] === true ? x : NaN));
  spread(out, cells.counts);
  return out.map((x) => (x === x ? x : 0));
}

/** spread gives cells without a temperature the mean of neighbours that have one, so that colours reach the rim of what is solid;
 * two cells deep, which is as far as any colour is looked up. */
function spread(t: Float32Array, [nx, ny, nz]: Point): void {
  for (let turn = 0; turn < 2; turn++) {
    const found: [number, number][] = [];
    for (let c = 0; c < t.length; c++) {
      if (t[c]! === t[c]!) continue;
      const i = c % nx;
      const j = Math.floor(c / nx) % ny;
      const k = Math.floor(c / (nx * ny));
      let sum = 0;
      let n = 0;
      const take = (there: boolean, at: number) => {
        const x = there ? t[at]! : NaN;
        if (x === x) {
          sum += x;
          n++;
        }
      };
      take(i > 0, c - 1);
      take(i < nx - 1, c + 1);
      take(j > 0, c - nx);
      take(j < ny - 1, c + nx);
      take(k > 0, c - nx * ny);
      take(k < nz - 1, c + nx * ny);
      if (n > 0) found.push([c, sum / n]);
    }
    for (const [c, x] of found) t[c] = x;
  }
}

/** rangeOf is the least and the greatest temperature in °C and the mean melted share of the cells of some parts, by volume;
 * undefined: there are none. */
export function rangeOf(cells: Cells, field: Field, of: (p: Part) => boolean): { low: number; high: number; melted: number } | undefined {
  const wanted = cells.parts.map((p) => p.air !== true && of(p));
  const [x, y, z] = cells.lines_m;
  const [nx, ny, nz] = cells.counts;
  let low = Infinity;
  let high = -Infinity;
  let melted = 0;
  let volume = 0;
  for (let k = 0, c = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, c++) {
        const p = cells.part[c]!;
        if (p < 0 || !wanted[p]) continue;
        const T = field.temperature[c]!;
        if (T !== T) continue;
        const v = (x[i + 1]! - x[i]!) * (y[j + 1]! - y[j]!) * (z[k + 1]! - z[k]!);
        low = Math.min(low, T);
        high = Math.max(high, T);
        melted += v * field.melted[c]!;
        volume += v;
      }
  return volume > 0 ? { low, high, melted: melted / volume } : undefined;
}
