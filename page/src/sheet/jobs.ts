// What takes long: studies, matches, plans and trials that were started from the page, and where they stand. They follow the
// server's stream of events, whichever tab has started them.
import { effect, signal, untracked } from "@preact/signals";
import { ask, send } from "./ask";
import type { Problem } from "./bench";
import { span } from "./numbers";

export interface Job {
  verb: "study" | "match" | "plan" | "trial" | "run" | "light" | "compare" | "verify" | "dossier";
  file: string;
  state: "waiting" | "computing" | "asking" | "done" | "stopped" | "mistaken" | "failed";
  /** what is going on, in words */
  text?: string;
  done: number;
  total: number;
  known: number;
  running: number;
  failed: number;
  /** s of wall time, about; 0: not known */
  left_s: number;
  /** so far, in words */
  best?: string;
  /** what the whole takes, in words */
  estimate?: string;
  /** why there are no results, or the question */
  message?: string;
  fix?: string;
  problems: Problem[];
  results?: string;
  points: number;
  turn: number;
  spent_s: number;
}

/** A variant of a study that has its outcome. */
export interface Point {
  number: number;
  values: (number | null)[];
  meets_the_constraints: boolean;
  failure?: string;
}

/** by file */
export const jobs = signal<Record<string, Job>>({});

const take = (j: Job) => (jobs.value = { ...jobs.value, [j.file]: j });

/** answered takes what a request was answered, unless the stream has told of that turn already: it may have told more. */
function answered(j: Job): void {
  const now = jobs.value[j.file];
  if (now === undefined || j.turn > now.turn) take(j);
}

/** more: go on without a question; of a run, also find what open circuits can give */
export const startJob = async (verb: Job["verb"], file: string, yes = false, more: { circuits?: boolean } = {}) => answered(await send<Job>("POST", "jobs", {}, { verb, file, yes, ...more }));
export const stopJob = async (file: string) => answered(await ask<Job>("jobs/stop", { name: file }, { method: "POST" }));
export const points = (file: string, from: number) => ask<{ turn: number; points: Point[] }>("jobs/points", { name: file, from });

/** far says how far a job has got that tells so in words; first is what it does until it tells. */
export function far(j: Job, first = "reading the files"): string {
  if (j.state === "waiting") return "waits for what is being computed";
  return `${j.text === undefined || j.text === "" ? first : j.text}, for ${span(j.spent_s)}`;
}

export const goesOn = (j: Job | undefined): boolean => j?.state === "computing" || j?.state === "waiting";

/** whenEnded does something whenever a job of a kind has come to its end, whoever has started it. */
export function whenEnded(verb: Job["verb"], then: (j: Job) => void): void {
  let went = new Set<string>();
  effect(() => {
    const all = Object.values(jobs.value).filter((j) => j.verb === verb);
    const now = new Set(all.filter(goesOn).map((j) => j.file));
    const ended = all.filter((j) => went.has(j.file) && !now.has(j.file));
    went = now;
    untracked(() => ended.forEach(then));
  });
}

/** follow hears of jobs by the stream, and asks for all of them whenever it is joined. */
export function follow(events: EventSource): void {
  events.addEventListener("job", (e) => take(JSON.parse((e as MessageEvent<string>).data) as Job));
  events.addEventListener("open", () => {
    const before = jobs.value;
    void ask<{ jobs: Job[] }>("jobs").then(
      (all) => {
        const since = Object.values(jobs.value).filter((j) => before[j.file] !== j); // of these the stream has told more
        jobs.value = Object.fromEntries([...all.jobs, ...since].map((j) => [j.file, j]));
      },
      () => {}, // the stream tells that the program does not answer
    );
  });
}

/** What a file's results are. */
export interface Results {
  folder: string;
  stopped: boolean;
  at: string;
  files: { name: string; path: string; bytes: number }[];
  /** files behind them that are no longer as they were */
  changed: string[];
}

/** resultsOf are the results that a file has, newest first. */
export const resultsOf = async (name: string) => (await ask<{ results: Results[] }>("results", { name })).results;
/** document reads a JSON document of results. */
export const document = <T>(path: string) => ask<T>("result", { path });
