// What is known of the trial that is looked at. It is asked for anew when a file was written here or the page is come back to.
import { effect, signal } from "@preact/signals";
import { ask } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { written } from "../sheet/edits";
import { ofDay } from "../sheet/numbers";
import { bench, tried } from "../sheet/state";
import { view } from "../sheet/view";

/** a result of the balance, in its unit */
export interface Result {
  unit: string;
  value: number;
  half_width_95: number | null;
  /** the interval at 95 % by draws, where they were made: it counts where first order does not agree with it */
  drawn?: { low: number; high: number; first_order_agrees: boolean };
}

export interface Phase {
  kind: "heat-up" | "hold" | "drain" | "cool";
  from_s: number;
  to_s: number;
  by_hand: boolean;
  why: string;
  sentence: string;
  energy_in: Result | null;
  heat_to_the_water: Result | null;
  heat_stored: Result | null;
  heat_lost_by_difference: Result | null;
  losses_expected: Result | null;
  closure: Result | null;
  closed_by_construction: boolean;
  cooling: { constant_s: number | null; constant_u_s: number | null; degrees_of_freedom: number | null; sentence: string; conductance: Result | null } | null;
  suspicions: string[];
  notes: string[];
  cautions: string[];
}

export interface Repair {
  key: string;
  file: string;
  column?: string;
  count: number;
  line?: number;
  what: string;
  mended: boolean;
}

export interface Recorded {
  name: string;
  start?: string;
  zone_known: boolean;
  length_s: number;
  rows: number;
  interval_s: number;
  columns: { name: string; unit: string; role: string; of?: string; file: string; missing: number; noise: number; systematic: number | null }[];
  repairs: Repair[];
  notes: string[];
  warnings: string[];
}

export interface Trial {
  trial: string;
  record: Recorded | null;
  heat: { phases: Phase[]; suspicions: string[]; notes: string[]; drying?: { found: boolean; sentence: string } } | null;
  budgets: { result: string; rows: { name: string; share: number }[] }[][];
  flows: { time_s: number[]; heat_W: (number | null)[]; half_width_W: (number | null)[] }[];
  phases_by_hand: boolean;
  notes: string[];
  problems: Problem[];
}

export interface Measured {
  time_s: number[];
  columns: { name: string; unit: string; role: string; of: string; values: (number | null)[] }[];
}

export interface Held {
  number: number;
  heading: string;
  /** of the values; empty: as they stand in the file */
  unit: string;
  time_s: number[];
  values: (number | null)[];
  guess: { place: string; also: string[]; unit?: string; sure: "sure" | "likely" | "guess"; why: string; hint?: string };
  channels: { path: string; line: number; place: string; quantity: string; unit: string; known: string; as: string }[];
  problems: Problem[];
}

export interface Mapping {
  trial: string;
  title: string;
  mark: string;
  circuits: string[];
  heaters: string[];
  loggers: { file: string; rows: number; interval_s: number; length_s: number; clock: string; clock_sure: string; notes: string[]; columns: Held[]; problems: Problem[] }[];
  problems: Problem[];
}

export const trials = signal<string[] | null>(null);
export const trial = signal<Trial | null>(null);
export const measured = signal<Measured | null>(null);
export const mapping = signal<Mapping | null>(null);
/** the time at which the balance was computed that stands though the files have come to hold mistakes; empty: it is that of the files */
export const lastGood = signal("");
let balanced = "";

/** what is being read, in words; empty: nothing */
export const reading = signal("");

/** the trial that is looked at: that of the address, else the first */
export const chosen = (): string => view.value.also["trial"] ?? trials.value?.[0] ?? "";

/** about how many rows the curves hold */
const points = 6000;

let turn = 0;

/** list asks which trials there are; loggers' files are not read for it. */
export async function list(): Promise<void> {
  const kinds = await tried(ask<{ files: { name: string; kind: string }[] }>("kinds"));
  if (kinds !== undefined) trials.value = kinds.files.filter((f) => f.kind === "trial").map((f) => f.name);
}

/** load asks for everything of the chosen trial; what an earlier call still brings counts no more. */
export async function load(): Promise<void> {
  const mine = ++turn;
  await list();
  if (mine !== turn || trials.value === null) return;
  const name = chosen();
  if (name === "") {
    trial.value = measured.value = mapping.value = null;
    return;
  }
  if (trial.value?.trial !== name) {
    trial.value = measured.value = mapping.value = null;
    lastGood.value = "";
  }
  reading.value = name;
  if (mapping.value === null) {
    const m = await tried(ask<Mapping>("trial/mapping", { name, described: "true" }));
    if (mine !== turn) return;
    mapping.value = m ?? null;
  }
  const [t, m] = await Promise.all([tried(ask<Trial>("trial", { name })), tried(ask<Mapping>("trial/mapping", { name }))]);
  const h = t?.record ? await tried(ask<Measured>("trial/history", { name, points })) : undefined;
  if (mine !== turn) return;
  reading.value = "";
  mapping.value = m ?? null;
  const last = trial.value;
  if (t?.record === null && last?.record && last.trial === name) {
    trial.value = { ...last, problems: t.problems };
    lastGood.value = balanced;
    return;
  }
  trial.value = t ?? null;
  measured.value = h ?? null;
  lastGood.value = "";
  balanced = ofDay(new Date());
}

let begun = false;

/** begin follows what is chosen and written; it is called by the views, so that other questions do not read loggers' files. */
export function begin(): void {
  if (begun) return;
  begun = true;
  let last = "";
  effect(() => {
    const now = `${view.value.also["trial"] ?? ""}\n${written.value}`;
    if (bench.value === null || now === last || view.value.question !== "tried") return;
    last = now;
    void load();
  });
  addEventListener("focus", () => {
    if (view.value.question === "tried") void load();
  });
}
