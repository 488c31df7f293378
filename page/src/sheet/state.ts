// What is known of the bench and of the run that is looked at. It follows the server's stream of events.
import { batch, computed, effect, signal } from "@preact/signals";
import { aboutOf } from "./ask";
import * as api from "./bench";
import { continues, grown } from "./growing";
import { follow } from "./jobs";
import { Paced } from "./pace";
import { begin } from "./stream";
import { together } from "./together";
import { failed, forgotten } from "./troubles";
import { view } from "./view";

export const bench = signal<api.Bench | null>(null);
export const run = signal<api.Run | null>(null);
export const moved = signal<api.Moved | null>(null);
/** where another run of the bench stands that is not looked at */
export const elsewhere = signal<api.Moved | null>(null);
export const rows = signal<api.History | null>(null);
/** false while the stream is broken off; the browser joins it again by itself */
export const joined = signal<boolean>(true);

/** what the question at hand looks at where the address names no run: "" while it does not know yet, undefined: it minds none */
export const otherwise = signal<() => string | undefined>(() => undefined);

/** the run that is looked at: that of the address, else that of the question, else the bench's first */
export const name = computed(() => view.value.run || (otherwise.value() ?? bench.value?.runs[0] ?? ""));

/** how many rows are kept at the most; a longer history is thinned */
export const points = 4000;

/** tried waits for something and tells what went wrong. */
export async function tried<T>(what: Promise<T>): Promise<T | undefined> {
  try {
    return await what;
  } catch (e) {
    failed(aboutOf(e), e);
    return undefined;
  }
}

/** the answer of which the server told last; `moved` says so when what it gave has come */
let newest = -1;

/** load asks for the run and its rows, and shows them together with where the run stands. */
const load = together(async () => {
  const of = name.value;
  if (of === "") return false;
  const have = rows.value;
  const goesOn = continues(have, newest, null, points);
  const [r, h] = await Promise.all([tried(api.run(of)), tried(api.history(of, points, goesOn ? have.time_s.at(-1) : 0))]);
  if (of !== name.value) return true;
  newest = Math.max(r?.answer ?? newest, h?.answer ?? newest);
  const cut = h !== undefined && goesOn && h.answer !== have.answer; // these are the last rows of another answer alone
  if (cut || (r && h && r.answer !== h.answer)) return true; // another came meanwhile
  batch(() => {
    if (r) moved.value = run.value = r;
    if (h) rows.value = goesOn ? grown(have, h) : h;
  });
  return false;
});

/** meet asks for the bench: at first, and when files may have come into it. */
export async function meet(): Promise<void> {
  bench.value = (await tried(api.bench())) ?? bench.value;
}

/** another tells whether more has changed than how far the march has got. */
function another(m: api.Moved, last: api.Moved | null): boolean {
  return last === null || m.answer !== last.answer || m.read !== last.read || m.state !== last.state || m.computes !== last.computes || m.old !== last.old;
}

/** shown follows a march at a pace at which drawing it takes little of the machine. Where more has changed than how far it has got,
 * that is told when the run has come, so that nothing is said of an answer that is not on the sheet yet. */
const shown = new Paced<api.Moved>((m) => {
  if (m.run !== name.value) return; // another is looked at by now
  newest = m.answer;
  const last = moved.value;
  if (!another(m, last)) moved.value = m;
  if (moved.value !== m || m.rows !== last?.rows) void load();
});

export async function start(): Promise<void> {
  const looked = computed(() => [view.value.question, name.value, view.value.file].join("\n"));
  effect(() => {
    void looked.value;
    forgotten();
  });
  await meet();
  effect(() => {
    if (name.value !== "") {
      run.value = null;
      rows.value = null;
      moved.value = null;
      void load();
    }
  });
  const events = new EventSource("/api/events");
  events.addEventListener("moved", (e) => {
    const m = JSON.parse((e as MessageEvent<string>).data) as api.Moved;
    if (m.run !== name.value) {
      elsewhere.value = m;
      return;
    }
    if (another(m, moved.value)) shown.now(m);
    else shown.later(m);
  });
  follow(events);
  begin(events);
  events.onopen = () => {
    if (!joined.value || bench.value === null) void meet();
    joined.value = true;
    void load(); // what was missed meanwhile
  };
  events.onerror = () => {
    joined.value = false;
  };
}
