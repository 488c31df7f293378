// What the server tells of the bench, its files and its runs.
import { ask, send } from "./ask";

export interface Problem {
  file: string;
  line?: number;
  column?: number;
  field?: string;
  typed?: string;
  message: string;
  allowed?: string;
  fix?: string;
  warning?: boolean;
}

export interface Bench {
  name: string;
  question: string;
  runs: string[];
  files: string[];
  version: string;
  problems: Problem[];
}

export type State = "computing" | "done" | "stopped" | "mistaken" | "failed";

/** Where a run stands; times in s. */
export interface Moved {
  run: string;
  state: State;
  /** the answer at hand is a coarse one */
  coarse: boolean;
  /** the answer at hand is of the files as they were before their last change */
  old: boolean;
  /** what is being computed */
  computes: "nothing" | "coarse" | "whole";
  reached_s: number;
  until_s: number;
  left_s: number;
  rows: number;
  answer: number;
  /** grows when the files have been read again, so that the drawing may be another */
  read: number;
}

export interface Column {
  name: string;
  unit: string;
}

export interface Pass {
  name: string;
  along: Axis;
  at_m: [number, number, number];
}

export interface Caution {
  text: string;
  likewise?: string;
  /** s, when it first arises */
  at_s: number;
  /** what it does, in a word */
  word?: string;
  /** of the history, whose numbers show the danger from then on */
  columns: string[];
}

export interface Run extends Moved {
  title: string;
  cells: number;
  drawn: boolean;
  sentence: string;
  cautions: Caution[];
  warnings: string[];
  columns: Column[];
  events: { at_s: number; what: string; does: string[] }[];
  size_m: [number, number, number];
  origin_m: [number, number, number];
  block_m: [number, number, number];
  passes: Pass[];
  sensors: { number: number; name: string; at_m: [number, number, number] }[];
  problems: Problem[];
  failure?: string;
}

export interface History {
  answer: number;
  coarse?: boolean;
  time_s: number[];
  columns: { name: string; unit: string; values: (number | null)[] }[];
}

export interface TextFile {
  name: string;
  text: string;
  mark: string;
}

export type Axis = "depth" | "width" | "height";

export const bench = () => ask<Bench>("bench");
export const run = (name: string) => ask<Run>("run", { name });
export const again = (name: string) => ask<Moved>("run/again", { name }, { method: "POST" });
export const stop = (name: string) => ask<Moved>("run/stop", { name }, { method: "POST" });
/** from, in s: the rows from there on */
export const history = (name: string, points: number, from = 0) => ask<History>("run/history", { name, points, from });
export const readFile = (name: string) => ask<TextFile>("file", { name });
export const check = (name: string) => ask<{ problems: Problem[] }>("check", { name });
export const writeFile = (name: string, text: string, mark: string) => send<TextFile>("PUT", "file", { name }, { text, mark });
