// What is known of the dossier: how it stands, what it would say otherwise if it were composed now, and what is being computed of it.
import { effect, signal, untracked } from "@preact/signals";
import { ask, send } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { written } from "../sheet/edits";
import { goesOn, type Job, jobs } from "../sheet/jobs";
import { moved, tried } from "../sheet/state";
import { together } from "../sheet/together";
import { view } from "../sheet/view";

export interface FileOf {
  name: string;
  path: string;
  bytes: number;
}

/** A document of the dossier. */
export interface Paper {
  name: string;
  is: string;
  /** who reads it */
  for: string;
  html?: FileOf;
  pdf?: FileOf;
}

/** A result that is not as it should be. */
export interface Due {
  /** by which it is renewed, and its job called */
  name: string;
  kind: string;
  title: string;
  missing: boolean;
  stopped: boolean;
  changed: string[];
  renew: string;
  here: boolean;
}

/** What two dossiers say otherwise of one place; "": one of them says nothing of it. */
export interface Differ {
  from: string;
  first: string;
  second: string;
}

export interface Standing {
  folder: string;
  /** none: there is no dossier */
  at?: string;
  version?: string;
  papers: Paper[];
  beside: FileOf[];
  changed: string[];
  damaged: string[];
  new: string[];
  due: Due[];
  words: string;
  worded: boolean;
  problems: Problem[];
  since?: { at: string; differ: Differ[]; count: number };
}

export interface Ahead {
  problems: Problem[];
  differ: Differ[];
  count: number;
}

export const question = "handed";
export const job = "dossier";

export const standing = signal<Standing | null>(null);
export const ahead = signal<Ahead | null>(null);

const loadStanding = async () => {
  standing.value = (await tried(ask<Standing>("dossier"))) ?? standing.value;
};

/** known asks for what the short answer is read from. */
export const known = loadStanding;

/** load asks for all, what takes longer last. */
export const load = together(async () => {
  await loadStanding();
  ahead.value = (await tried(ask<Ahead>("dossier/ahead"))) ?? ahead.value;
  return false;
});

/** at is the address of a file of the bench, as its documents lead to it. */
export const at = (path: string): string => `/bench/${path.split("/").map(encodeURIComponent).join("/")}`;

/** endings is another whenever a job has come to its end. */
const endings = (): string =>
  Object.values(jobs.value)
    .filter((j) => !goesOn(j))
    .map((j) => `${j.file} ${j.turn} ${j.state}`)
    .join("\n");

export const jobOf = (name: string): Job | undefined => jobs.value[name];
export const composing = (): boolean => goesOn(jobOf(job));

/** compose composes the dossier; with renew, after what is due. */
export const compose = (renew: boolean) => void tried(send<Job>("POST", "dossier", {}, { renew }));
export const renew = (name: string, yes = false) => void tried(send<Job>("POST", "dossier/renew", {}, { name, yes }));
export const beginWords = () => tried(send<{ name: string }>("POST", "dossier/words", {}, {}));

/** follow keeps it as it is on the disk while the question is looked at: after a job has ended, after an edit here or elsewhere, and
 * when the window is come back to. */
export function follow(): () => void {
  let before = "";
  const end = effect(() => {
    const now = `${endings()}\n${written.value}\n${moved.value?.read ?? 0}`;
    if (now !== before) untracked(() => void load());
    before = now;
  });
  const again = () => void load();
  addEventListener("focus", again);
  return () => {
    end();
    removeEventListener("focus", again);
  };
}

// elsewhere the short answer follows what was computed
let last = "";
effect(() => {
  const now = endings();
  if (now !== last && view.peek().question !== question && standing.peek() !== null) untracked(() => void loadStanding());
  last = now;
});
