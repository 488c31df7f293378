// What the strip asks of the server: the chosen columns over a stretch of time, and what is laid over them.
import { ask } from "../sheet/ask";
import type { Column, History, State } from "../sheet/bench";

export interface Stretch {
  columns: string;
  from: number;
  to: number;
  points: number;
}

export interface Apart {
  name: string;
  unit: string;
  values: (number | null)[];
  most: number | null;
  most_at_s: number | null;
  mean: number | null;
  half: number | null;
  within: number | null;
}

/** another run or a trial over the run's time, and the run less it */
export interface Beside {
  measured: boolean;
  title: string;
  state: State;
  time_s: number[];
  columns: History["columns"];
  apart: { drawn: boolean; time_s: number[]; columns: Apart[] };
  only: string[];
  events: { at_s: number; what: string; does: string[] }[];
  phases: { name: string; kind: string; from_s: number; to_s: number }[];
}

/** half-widths at 95 % of a run's columns, and what they were carried from */
export interface Bands {
  says: string;
  time_s: number[];
  columns: History["columns"];
}

export const history = (name: string, s: Stretch, behind = false) =>
  ask<History & { coarse: boolean }>("run/history", { name, ...s, ...(behind ? { behind: "true" } : {}) });
export const rowsAround = (name: string, columns: string, around: number, points: number) => ask<History>("run/history", { name, columns, around, points });
export const beside = (name: string, other: string, begins: number, s: Stretch) => ask<Beside>("run/beside", { name, other, begins, ...s });
export const bands = (name: string) => ask<Bands>("run/bands", { name });
export const kinds = () => ask<{ files: { name: string; kind: string }[] }>("kinds");

/** which columns are shown before anybody chooses: the block, outlets and probes, not walls of tubes; heat in and out, not each pass */
export function usual(columns: readonly Column[]): string[] {
  return columns.filter((c) => c.unit === "degC" || c.unit === "W").filter((c) => !/ wall max$|^pass .* heat$|^lost /.test(c.name)).map((c) => c.name);
}

/** whether a column is of the water, which has a colour of its own */
export const ofWater = (name: string) => /^circuit .* (outlet|flow|steam|quality|pressure drop)$|^heat to passes$/.test(name);
