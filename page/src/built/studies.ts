// What the page knows of the bench's studies: which there are, what each varies, and how far each has got.
import { effect, signal, untracked } from "@preact/signals";
import { ask, send } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { document, type Job, jobs, type Point, points, type Results, resultsOf, whenEnded } from "../sheet/jobs";
import { fixed, shown } from "../sheet/numbers";
import { tried } from "../sheet/state";
import { view } from "../sheet/view";

export interface Study {
  name: string;
  title: string;
  kind: "sweep" | "sample" | "search" | "unknown";
  run: string;
  count: number;
  mistakes: number;
  results?: string;
}

export interface Column {
  name: string;
  is: "axis" | "response";
  read?: string;
  unit: string;
  words?: string[];
}

export interface Told extends Study {
  columns: Column[];
  /** of each axis that has some */
  levels: number[][];
  problems: Problem[];
}

export interface Variant {
  values: (number | null)[];
  meets_the_constraints: boolean;
  cautions?: string[];
  ended_early?: string;
  failure?: string;
}

export interface Answer {
  question: string;
  verdict: string;
  sentences: string[];
  table?: string[][];
  below_the_table?: string;
}

export interface Outcome {
  name: string;
  kind: string;
  columns: Column[];
  variants: Variant[];
  constraints: { constraint: string; sentence: string }[];
  answers: Answer[];
  notes: string[];
  share_that_meets_the_constraints?: { sentence: string };
}

/** every combination of values, draws, or a search for the best */
export type Kind = "sweep" | "sample" | "search";

export interface NewStudy {
  file: string;
  name: string;
  run: string;
  kind: Kind;
  axes: { name: string; paths: string[]; from?: string; to?: string; count?: number; ratio?: boolean; about?: string }[];
  count?: number;
  sensitivity?: boolean;
  aims?: { response: string; want: "most" | "least" }[];
  responses: { name: string; read: string }[];
  constraints?: { response: string; below?: string; above?: string }[];
  plateaus?: { response: string; over: string; margin?: string }[];
  try?: boolean;
}

export interface Made {
  written: boolean;
  file: string;
  text: string;
  count: number;
  problems: Problem[];
}

export const make = (s: NewStudy) => send<Made>("POST", "study", {}, s);
export const readings = (run: string) => ask<{ readings: { read: string; what: "column" | "ledger" | "built"; unit: string }[] }>("readings", { name: run });

export const studies = signal<Study[] | null>(null);
export const told = signal<Told | null>(null);
export const outcome = signal<Outcome | null>(null);
/** where the outcome stands, and what has changed since */
export const results = signal<Results | null>(null);
/** variants that have their outcome while the study is computed, by number from 1 */
export const seen = signal<Map<number, Point>>(new Map());

/** chosen is the study that is looked at: that of the address, else the first that has results, else the first. */
export function chosen(): string {
  const all = studies.value ?? [];
  const asked = view.value.also["study"] ?? "";
  if (all.some((s) => s.name === asked)) return asked;
  return (all.find((s) => s.results !== undefined) ?? all[0])?.name ?? "";
}

export const jobOf = (name: string): Job | undefined => jobs.value[name];

export async function load(): Promise<void> {
  const got = await tried(ask<{ studies: Study[] }>("studies"));
  if (got) studies.value = got.studies;
}

async function look(name: string): Promise<void> {
  const [t, all] = await Promise.all([tried(ask<Told>("study", { name })), tried(resultsOf(name))]);
  if (name !== chosen()) return;
  told.value = t ?? null;
  const last = all?.find((r) => r.files.some((f) => f.name === "study.json")) ?? null;
  results.value = last;
  outcome.value = last === null ? null : ((await tried(document<Outcome>(`${last.folder}/study.json`))) ?? null);
}

whenEnded("study", () => void load()); // the short answer is read from it

let turn = 0;
let asking = false;

/** fill asks for the variants that have come since, until there are no more: some may come while it asks. */
async function fill(): Promise<void> {
  if (asking) return;
  asking = true;
  for (;;) {
    const name = chosen();
    const j = jobOf(name);
    if (j !== undefined && j.turn !== turn) {
      turn = j.turn;
      seen.value = new Map();
    }
    const have = seen.value;
    if (j === undefined || have.size >= j.points) break;
    const got = await points(name, have.size).catch(() => null);
    if (got === null) break; // the stream tells that the program does not answer
    if (name !== chosen() || got.turn !== turn || seen.value !== have) continue;
    if (got.points.length === 0) break;
    seen.value = new Map([...have, ...got.points.map((p): [number, Point] => [p.number, p])]);
  }
  asking = false;
}

/** begin follows the study that is looked at; once for the page. */
export function begin(): void {
  if (begun) return;
  begun = true;
  let last = "";
  let state = "";
  effect(() => {
    const name = chosen();
    if (name === last) return;
    last = name;
    told.value = outcome.value = results.value = null;
    seen.value = new Map();
    turn = 0;
    if (name !== "") void look(name);
  });
  effect(() => {
    const name = chosen();
    const j = jobOf(name);
    if (j === undefined) return;
    untracked(() => void fill());
    const now = `${name} ${j.turn} ${j.state}`;
    if (now === state) return;
    state = now;
    if (j.state === "done" || j.state === "mistaken") {
      void look(name);
      void load();
    }
  });
}
let begun = false;

/** again reads a study's file and results once more. */
export const again = () => look(chosen());

/** amount writes a value of a column with its unit. */
export function amount(c: Column, x: number | null | undefined): string {
  if (x === null || x === undefined) return "";
  if (c.words !== undefined) return c.words[Math.round(x)] ?? "";
  if (c.is === "response") return shown(x, c.unit);
  return c.unit === "1" ? short(x) : `${short(x)}\u2009${c.unit}`;
}

/** short writes a number to four digits. */
export function short(x: number): string {
  if (x === 0) return "0";
  const digits = Math.max(0, Math.min(6, 3 - Math.floor(Math.log10(Math.abs(x)))));
  const s = fixed(x, digits);
  return digits > 0 ? s.replace(/(\D\d*?)0+$/, "$1").replace(/\D$/, "") : s;
}
