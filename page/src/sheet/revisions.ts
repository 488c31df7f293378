// What was changed in the run's files since it was first looked at, and what each change did to the answer.
import { computed, effect, signal } from "@preact/signals";
import { ask } from "./ask";
import { readFields, written } from "./edits";
import { ofDay } from "./numbers";
import { moved, name } from "./state";
import { together } from "./together";

export interface MainNumber {
  name: string;
  unit: string;
  value: number;
  /** how far it may still move; 0 or none: settled, or not known */
  moves?: number;
}

export interface Revision {
  number: number;
  changes: { input: string; old: string; new: string }[];
  before: MainNumber[];
  after: MainNumber[];
  since: number;
  coarse: boolean;
}

export interface Revisions {
  revisions: Revision[];
  answer: MainNumber[];
  answered?: string;
  /** the files say something else by now than what the answer at hand was computed from */
  old: boolean;
}

export const revised = signal<Revisions>({ revisions: [], answer: [], old: false });

/** when the answer at hand came, by the clock; null: there is none */
export const answeredAt = computed(() => {
  const { answered } = revised.value;
  return answered === undefined ? null : ofDay(new Date(answered));
});

/** the number of the newest revision that changed an input; 0: none did */
export function revisionOf(input: string): number {
  for (const r of [...revised.value.revisions].reverse()) if (r.changes.some((c) => c.input === input)) return r.number;
  return 0;
}

const load = together(async () => {
  if (name.value === "") return; // the question does not know yet which run it looks at
  try {
    revised.value = await ask<Revisions>("run/revisions", { name: name.value });
  } catch {
    // the run's own request tells what is wrong
  }
});

let of = "";
let readOf = "";
effect(() => {
  const m = moved.value;
  if (name.value === "" || m === null) return;
  const now = `${name.value} ${written.value} ${m.read} ${m.answer} ${m.coarse} ${m.old} ${m.state}`;
  if (now === of) return; // the march has got further, no more
  of = now;
  void load();
  const files = `${name.value} ${m.read} ${m.state === "mistaken"}`;
  if (files !== readOf) void readFields(); // they may have been changed elsewhere
  readOf = files;
});
addEventListener("focus", () => void readFields());
