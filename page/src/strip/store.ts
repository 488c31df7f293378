// What the strip shows now. It follows the run, the chosen columns, the stretch of time and what is laid over; of several
// changes that come while the server is asked, only the last is asked for.
import { computed, effect, signal, untracked } from "@preact/signals";
import type { History } from "../sheet/bench";
import { continues, grown } from "../sheet/growing";
import { bench, elsewhere, moved, name, points as kept, rows, run, tried } from "../sheet/state";
import { together } from "../sheet/together";
import { look, view } from "../sheet/view";
import * as api from "./laid";

/** about so many rows of a curve; the server leaves out what a line as wide as a screen cannot show */
const points = 6000;

/** the whole run, thinned, and the stretch that is looked at, where it is a part */
export const whole = signal<History | null>(null);
export const detail = signal<History | null>(null);
/** the answer that is being computed behind the one at hand */
export const behind = signal<History | null>(null);
/** the answer before, for a moment */
export const ghost = signal<History | null>(null);
export const laid = signal<api.Beside | null>(null);
export const bands = signal<api.Bands | null>(null);
/** s; null: from the beginning to the end */
export const stretch = signal<readonly [number, number] | null>(zoomOf(view.value.also["zoom"]));
/** the bench's other runs and its trials */
export const others = signal<{ name: string; kind: string }[]>([]);

function zoomOf(text: string | undefined): readonly [number, number] | null {
  const [a, b] = (text ?? "").split("-").map(Number);
  return a !== undefined && b !== undefined && b > a ? [a, b] : null;
}

export const wanted = computed<string[]>(() => {
  const all = run.value?.columns ?? [];
  const asked = view.value.also["curves"];
  if (asked === undefined || asked === "") return api.usual(all);
  const names = asked.split(",");
  return all.map((c) => c.name).filter((n) => names.includes(n));
});
export const other = computed(() => view.value.also["beside"] ?? "");
export const begins = computed(() => Number(view.value.also["begins"] ?? 0) || 0);

export function also(change: Record<string, string>): void {
  look({ also: { ...view.value.also, ...change } });
}

/** the end of the time axis, s */
export const ends = computed(() => {
  const until = moved.value?.state === "computing" ? moved.value.until_s : 0;
  return Math.max(whole.value?.time_s.at(-1) ?? 0, behind.value?.time_s.at(-1) ?? 0, until);
});
export const axis = computed<readonly [number, number]>(() => stretch.value ?? [0, Math.max(ends.value, 1)]);

let telling = 0;

/** zoom looks at a stretch; what reaches beyond the ends is moved within. */
export function zoom(from: number, to: number): void {
  const all = ends.value;
  const wide = Math.max(to - from, 2);
  if (wide >= all * 0.999) stretch.value = null;
  else {
    const a = Math.min(Math.max(0, from), all - wide);
    stretch.value = [a, a + wide];
  }
  clearTimeout(telling);
  const { question } = view.value;
  telling = window.setTimeout(() => {
    if (view.value.question !== question) return; // it is no stretch of another question
    const s = stretch.value;
    also({ zoom: s === null ? "" : s.map((t) => String(Math.round(t * 10) / 10)).join("-") });
  }, 250);
}

let fading = 0;

function replaced(by: History): void {
  const old = whole.value;
  if (old === null || old.answer === by.answer || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
  ghost.value = old;
  clearTimeout(fading);
  fading = window.setTimeout(() => (ghost.value = null), 3000);
}

let of = "";
/** the rows that were last taken from those of the page, and which columns of them */
let taken: { h: History; names: string } | null = null;

const loadWhole = together(async () => {
  const [at, names] = [name.value, wanted.value];
  const r = run.value;
  if (at === "" || r === null || r.run !== at || names.length === 0) return;
  if (of !== at) {
    of = at;
    whole.value = behind.value = ghost.value = detail.value = laid.value = bands.value = null;
  }
  if (r.rows <= kept) { // the page has them all
    const h = rows.value;
    const from = names.join(",");
    if (h?.answer !== r.answer || (h === taken?.h && from === taken.names && whole.value !== null)) return;
    taken = { h, names: from };
    replaced(h);
    whole.value = { ...h, columns: h.columns.filter((c) => names.includes(c.name)) };
    return;
  }
  const have = whole.value;
  const goesOn = continues(have, moved.value?.answer ?? -1, names, points);
  const from = (t: number) => tried(api.history(at, { columns: names.join(","), from: t, to: 0, points }));
  let got = await from(goesOn ? have.time_s.at(-1)! : 0);
  const another = goesOn && got !== undefined && got.answer !== have.answer; // it came meanwhile: these are its last rows alone
  if (another) got = await from(0);
  if (got === undefined || at !== name.value) return;
  if (goesOn && !another) whole.value = { ...grown(have, got), coarse: got.coarse };
  else {
    replaced(got);
    whole.value = got;
  }
});

const loadBehind = together(async () => {
  const [at, m] = [name.value, moved.value];
  if (m === null || m.run !== at || m.computes !== "whole" || !m.coarse || m.old || run.value?.drawn !== true) {
    behind.value = null;
    return;
  }
  const have = behind.value;
  const goesOn = continues(have, m.answer, wanted.value, points) && have.time_s.at(-1)! <= m.reached_s + 1;
  const got = await tried(api.history(at, { columns: wanted.value.join(","), from: goesOn ? have.time_s.at(-1)! : 0, to: 0, points }, true));
  if (got === undefined || at !== name.value) return;
  if (goesOn && got.answer !== have.answer) behind.value = null;
  else behind.value = got.time_s.length === 0 ? null : goesOn ? grown(have, got) : got;
});

const loadDetail = together(async () => {
  const [at, s] = [name.value, stretch.value];
  if (s === null) {
    detail.value = null;
    return;
  }
  const margin = (s[1] - s[0]) / 4; // so that a small step of the axis meets rows
  const got = await tried(api.history(at, { columns: wanted.value.join(","), from: Math.max(0.001, s[0] - margin), to: s[1] + margin, points: Math.round(points * 1.5) }));
  if (got !== undefined && at === name.value && stretch.value !== null) detail.value = got;
});

const loadLaid = together(async () => {
  const [at, o, s] = [name.value, other.value, stretch.value];
  if (o === "" || at === "") {
    laid.value = null;
    return;
  }
  const part = { columns: wanted.value.join(","), from: s === null ? 0 : Math.max(0.001, s[0]), to: s === null ? 0 : s[1], points };
  const got = await tried(api.beside(at, o, begins.value, part));
  if (o === other.value && at === name.value) laid.value = got ?? null;
});

const loadBands = together(async () => {
  if (name.value === "") return;
  const got = await api.bands(name.value).catch(() => null);
  bands.value = got === null || !(got.time_s?.length > 0) ? null : got;
});

/** follow begins to ask; the strip calls it once. */
export const follow = (() => {
  let begun = false;
  return () => {
    if (begun) return;
    begun = true;
    effect(() => {
      if (bench.value !== null) void tried(api.kinds()).then((k) => (others.value = k?.files.filter((f) => f.kind === "run" || f.kind === "trial") ?? others.value));
    });
    let line = 0;
    const soon = () => {
      clearTimeout(line);
      line = window.setTimeout(() => (loadDetail(), loadLaid()), 90);
    };
    effect(() => {
      [name.value, run.value, rows.value, wanted.value, moved.value?.answer, moved.value?.rows];
      untracked(loadWhole);
    });
    effect(() => {
      [name.value, wanted.value, moved.value, run.value?.drawn];
      untracked(loadBehind);
    });
    effect(() => {
      [name.value, wanted.value, stretch.value, other.value, begins.value, whole.value?.answer, whole.value?.time_s.length];
      untracked(soon);
    });
    effect(() => {
      if (elsewhere.value !== null && elsewhere.value.run === other.value) untracked(soon);
    });
    effect(() => {
      [name.value, moved.value?.answer];
      untracked(loadBands);
    });
  };
})();

/** asAddressed looks at the stretch that stands in the address. */
export function asAddressed(): void {
  stretch.value = zoomOf(view.value.also["zoom"]);
}

addEventListener("popstate", asAddressed);
