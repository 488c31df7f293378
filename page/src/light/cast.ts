// What the page knows of the bench's lights: which there are, what is cast of the one that is looked at, and how far that is.
import { effect, signal } from "@preact/signals";
import { ask } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { type FileFields, fields } from "../sheet/fields";
import { onStream } from "../sheet/stream";
import { bench, tried } from "../sheet/state";
import { together } from "../sheet/together";
import { view } from "../sheet/view";

/** Where the casting of a light's rays stands. */
export interface Cast {
  light: string;
  state: "computing" | "done" | "stopped" | "mistaken" | "failed";
  /** the answer at hand is of few rays */
  coarse: boolean;
  /** the answer at hand is of the files as they were before their last change */
  old: boolean;
  answer: number;
  /** grows when the files have been read, and when they have changed since: what nobody asks for is then not cast */
  read: number;
  rays: number;
  error: number;
  wanted: number;
  input: number;
  inputs: number;
}

/** What a dish throws on a window; numbers in SI. */
export interface Told extends Cast {
  title: string;
  sentence: string;
  right: string;
  numbers: { name: string; value: number; half_width_95: number; unit: string; where?: string }[];
  parts: { name: string; power_W: number; share: number; rays?: number }[];
  uncertain: { input: string; power_W: number; share: number }[];
  best: Best[];
  day_s: number;
  statistics: string;
  notes: string[];
  caution: string;
  may_ask: boolean;
  problems: Problem[];
  failure?: string;
}

export interface Best {
  name: string;
  unit: "W" | "J";
  /** 0: no window keeps heat */
  size_m: number;
  size_half_width_95_m: number;
  from_m: number;
  to_m: number;
  kept: number;
  kept_half_width_95: number;
  this_keeps_less: number | null;
}

/** the files of kind light; null: not asked yet */
export const lights = signal<string[] | null>(null);
/** the one that is looked at, as it was told last */
export const told = signal<Told | null>(null);
/** where its cast stands */
export const cast = signal<Cast | null>(null);
/** the places of its file */
export const places = signal<FileFields | null>(null);

/** chosen is the light that is looked at: that of the address, else the bench's first. */
export function chosen(): string {
  const all = lights.value ?? [];
  const asked = view.value.also["light"] ?? "";
  return all.includes(asked) ? asked : (all[0] ?? "");
}

/** list asks which lights there are. */
export async function list(): Promise<void> {
  const got = await tried(ask<{ files: { name: string; kind: string }[] }>("kinds"));
  if (got) lights.value = got.files.filter((f) => f.kind === "light").map((f) => f.name);
}

/** load asks for what is cast, and for the places of the file. */
const load = together(async () => {
  const of = chosen();
  if (of === "") return false;
  const [now, at] = await Promise.all([tried(ask<Told>("light", { name: of })), tried(fields(of))]);
  if (of !== chosen()) return true;
  if (now) {
    told.value = now;
    if (cast.value?.light !== of || cast.value.read <= now.read) cast.value = now;
  }
  if (at) places.value = at;
  return false;
});

/** following counts who looks at a light. */
let following = 0;

/** follow loads the light that is looked at, and again when another is. */
export function follow(): () => void {
  following++;
  void list();
  const end = effect(() => {
    if (bench.value === null || chosen() === "") return;
    const last = told.peek();
    if (last !== null && last.light !== chosen()) told.value = cast.value = places.value = null;
    void load();
  });
  return () => {
    following--;
    end();
  };
}

onStream((events) => {
  events.addEventListener("light", (e) => {
    const now = JSON.parse((e as MessageEvent<string>).data) as Cast;
    if (now.light !== chosen()) return;
    cast.value = now;
    const t = told.value;
    if (following > 0 && (t === null || now.answer !== t.answer || now.read !== t.read || now.state !== t.state || now.old !== t.old)) void load();
  });
  events.addEventListener("open", () => {
    if (following > 0) void load(); // what was missed meanwhile
  });
});

export const again = (name: string) => ask<Cast>("light/again", { name }, { method: "POST" });
export const stop = (name: string) => ask<Cast>("light/stop", { name }, { method: "POST" });

/** unsettled tells whether the numbers at hand may still move. */
export const unsettled = (c: Pick<Cast, "coarse" | "old">): boolean => c.coarse || c.old;
