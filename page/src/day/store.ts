// What the page knows of days: which runs have a load, what the one that is looked at wants and gives, what open circuits can
// give, and what a season gave.
import { computed, effect, signal, untracked } from "@preact/signals";
import { ask } from "../sheet/ask";
import type { History, Problem } from "../sheet/bench";
import { type Job, jobs } from "../sheet/jobs";
import { bench, moved, name, rows, run, tried } from "../sheet/state";
import { look, view } from "../sheet/view";

export interface Days {
  runs: { name: string; title: string; of: "heat" | "steam"; until_s: number }[];
  seasons: { name: string; title: string; run: string }[];
}

export interface Day {
  title: string;
  of: "heat" | "steam" | "nothing";
  /** of what is wanted */
  unit: string;
  until_s: number;
  starts?: string;
  /** s after midnight at which the run begins; -1: the duty does not say */
  clock_s: number;
  circuits: string[];
  serves_degC?: number;
  wanted: { time_s: number[]; values: number[] };
  colours_degC: [number, number];
  /** of which the rest is; 0: of none yet */
  answer: number;
  sentence?: string;
  met_share?: number;
  amounts: { name: string; text: string }[];
  /** what its results say, until the whole answer is there */
  kept?: { folder: string; at: string; sentence: string; met_share: number; time_s: number[]; columns: History["columns"] };
}

export interface Circuits {
  of: "heat" | "steam" | "nothing";
  unit: string;
  answer: number;
  serves_degC: number;
  hottest_degC: number;
  wanted: number;
  even: { block_degC: number; least: number[]; most: number[] }[];
  held?: { full_degC: number; asked: number; held_s: (number | null)[]; folder: string; at: string; changed: string[] };
}

/** a kind of danger of the days of a season that were computed in full: where it is worst, and its other places */
export interface SeasonDanger {
  kind: string;
  text: string;
  likewise?: string;
}

/** season.json, as far as it is read here */
export interface SeasonDoc {
  answers: boolean;
  sentence: string;
  refused?: string;
  starts?: string;
  days: number;
  season?: Record<string, number | null | Record<string, number | null>>;
  model: { nodes: string[]; full_runs: number; built_from: string[]; allowed: { heat: number; block_mean_K: number }; block_mean_known_degC: [number, number] };
  apart: { day: string; heat_J: number; heat_off: number; most_off: string; block_mean_over_an_hour_off_K: number; held: string; passes: boolean }[];
  /** none where the results are of a version that did not gather them: there they stand one by one */
  dangers?: SeasonDanger[];
  cautions?: SeasonDanger[];
  notes: string[];
}

export interface Season {
  name: string;
  title: string;
  run: string;
  problems: Problem[];
  folder?: string;
  at?: string;
  changed: string[];
  doc?: SeasonDoc;
  columns: { name: string; unit: string }[];
  days: (number | null)[][];
}

export const days = signal<Days | null>(null);
export const day = signal<Day | null>(null);
export const circuits = signal<Circuits | null>(null);
export const season = signal<Season | null>(null);

/** the question's word in the address */
export const question = "day";

/** a run longer than that is a poor first look, s */
const longest = 3 * 86400;

/** first is the run that is shown where the address names none: "" while the bench's are not known, undefined: none has a load. */
export function first(): string | undefined {
  const d = days.value;
  if (d === null) return "";
  const ofBench = (n: string) => bench.value?.runs.includes(n) === true;
  const short = d.runs.filter((r) => r.until_s <= longest);
  return (short.find((r) => ofBench(r.name)) ?? short[0] ?? d.runs[0])?.name;
}

/** the season that is looked at: that of the address, else the bench's first */
export const chosenSeason = computed(() => {
  const all = days.value?.seasons ?? [];
  const asked = view.value.also["season"] ?? "";
  return (all.find((s) => s.name === asked) ?? all[0])?.name ?? "";
});

export const jobOf = (file: string): Job | undefined => jobs.value[file];

/** kept is the day as its results have it, as long as no whole answer has taken its place. */
export const kept = computed(() => (run.value === null || run.value.coarse || !run.value.drawn ? (day.value?.kept ?? null) : null));

/** course are the rows that are drawn. */
export const course = computed<History | null>(() => (kept.value === null ? rows.value : { answer: 0, time_s: kept.value.time_s, columns: kept.value.columns }));

export const also = (change: Record<string, string>) => look({ also: { ...view.value.also, ...change } });

export async function load(): Promise<void> {
  days.value = (await tried(ask<Days>("days"))) ?? days.value ?? { runs: [], seasons: [] };
}

async function loadDay(): Promise<void> {
  const of = name.value;
  if (of === "") return;
  const got = await tried(ask<Day>("day", { name: of }));
  if (of === name.value && got !== undefined) day.value = got;
}

async function loadCircuits(): Promise<void> {
  const of = name.value;
  if (of === "" || run.value?.drawn !== true) return;
  const got = await tried(ask<Circuits>("day/circuits", { name: of }));
  if (of === name.value && got !== undefined) circuits.value = got;
}

export async function loadSeason(): Promise<void> {
  const of = chosenSeason.value;
  if (of === "") return;
  const got = await tried(ask<Season>("season", { name: of }));
  if (of === chosenSeason.value && got !== undefined) season.value = got;
}

/** known asks for what the short answer is read from, while nobody looks at the question. */
export async function known(): Promise<void> {
  await load();
  await loadSeason();
}

/** end of a job, as far as it changes what is shown */
const ended = (file: string) => {
  const j = jobOf(file);
  return j === undefined || j.state === "computing" || j.state === "waiting" ? "" : `${j.turn} ${j.state}`;
};

/** follow asks anew whenever what it shows is another; it ends what it began. */
export function follow(): () => void {
  void load();
  let of = "";
  const ends = [
    effect(() => {
      const now = name.value;
      [moved.value?.answer, moved.value?.read, moved.value?.state];
      untracked(() => {
        if (now !== of) day.value = circuits.value = null;
        of = now;
        void loadDay();
      });
    }),
    effect(() => {
      const r = run.value;
      [r?.run, r?.answer, ended(name.value)];
      if (r?.drawn === true) untracked(() => void loadCircuits());
    }),
    effect(() => {
      const now = chosenSeason.value;
      ended(now);
      untracked(() => {
        if (season.value?.name !== now) season.value = null;
        void loadSeason();
      });
    }),
  ];
  return () => ends.forEach((end) => end());
}
