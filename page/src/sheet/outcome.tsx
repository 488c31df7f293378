// What a file of the bench has as results, for questions that show a match or a plan: the files of that kind, the one that is
// looked at, its newest results, and what is being computed of it.
import { effect, type Signal, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { ask } from "./ask";
import { Findings } from "./findings";
import { document, goesOn, type Job, jobs, type Results, resultsOf, startJob, stopJob, whenEnded } from "./jobs";
import { ended, fixed, span } from "./numbers";
import "./outcome.css";
import { inUnits } from "./sentence";
import { bench, tried } from "./state";
import { look, view } from "./view";

export interface Outcome<T> {
  /** the word of the question, and of the file in its address */
  question: string;
  /** the kind of file, and the command */
  kind: "match" | "plan";
  /** the document among the results */
  name: string;
  files: Signal<string[] | null>;
  results: Signal<Results | null>;
  doc: Signal<T | null>;
  /** what a job has said of how far it has got */
  steps: Signal<string[]>;
}

/** outcome makes the signals of a question. */
export function outcome<T>(question: string, kind: Outcome<T>["kind"], name: string): Outcome<T> {
  const o: Outcome<T> = { question, kind, name, files: signal<string[] | null>(null), results: signal<Results | null>(null), doc: signal<T | null>(null), steps: signal<string[]>([]) };
  whenEnded(kind, () => view.value.question !== question && void known(o)); // the short answer is read from it
  return o;
}

export const chosenOf = <T,>(o: Outcome<T>): string => view.value.also[o.kind] ?? o.files.value?.[0] ?? "";
export const jobOf = <T,>(o: Outcome<T>): Job | undefined => jobs.value[chosenOf(o)];

async function load<T>(o: Outcome<T>): Promise<void> {
  const name = chosenOf(o);
  const kinds = await tried(ask<{ files: { name: string; kind: string }[] }>("kinds"));
  if (kinds === undefined) return;
  o.files.value = kinds.files.filter((f) => f.kind === o.kind).map((f) => f.name);
  if (name === "" || name !== chosenOf(o)) return; // what is chosen now is loaded by who follows it
  const newest = (await tried(resultsOf(name)))?.find((r) => r.files.some((f) => f.name === o.name));
  const doc = newest === undefined ? undefined : await tried(document<T>(newest.files.find((f) => f.name === o.name)!.path));
  if (name !== chosenOf(o)) return;
  o.results.value = newest ?? null;
  o.doc.value = doc ?? null;
}

/** known asks for what the short answer is read from, while nobody looks at the question: first which files there are, then what
 * the chosen one of them has. */
export async function known<T>(o: Outcome<T>): Promise<void> {
  const before = chosenOf(o);
  await load(o);
  if (chosenOf(o) !== before) await load(o);
}

/** useOutcome follows the chosen file, and what is computed of it. */
export function useOutcome<T>(o: Outcome<T>): void {
  useEffect(() => {
    let last = "";
    let turn = -1;
    return effect(() => {
      if (bench.value === null || view.value.question !== o.question) return;
      const j = jobOf(o);
      const now = `${chosenOf(o)}\n${j === undefined || goesOn(j) ? "" : `${j.turn} ${j.state}`}`;
      if (j !== undefined && goesOn(j)) {
        if (j.turn !== turn) o.steps.value = [];
        turn = j.turn;
        const said = j.text ?? "";
        if (said !== "" && o.steps.peek().at(-1) !== said) o.steps.value = [...o.steps.peek().slice(-400), said];
      }
      if (now === last) return;
      last = now;
      void load(o);
    });
  }, [o]);
}

/** Chosen names the files of the kind, and starts or stops what is computed of the one that is looked at. */
export function Chosen<T>({ o, verb }: { o: Outcome<T>; verb: string }) {
  const j = jobOf(o);
  const name = chosenOf(o);
  const list = o.files.value ?? [];
  const r = o.results.value;
  if (name === "") return null;
  return (
    <>
      <p class="chosen">
        {list.map((f) => (
          <a
            key={f}
            href={`/${o.question}?${o.kind}=${encodeURIComponent(f)}`}
            aria-current={f === name ? "true" : undefined}
            onClick={(e) => {
              e.preventDefault();
              o.doc.value = null;
              o.results.value = null;
              look({ also: { [o.kind]: f } });
            }}
          >
            {f.replace(/\.ya?ml$/, "")}
          </a>
        ))}
        {j !== undefined && goesOn(j) ? (
          <button type="button" onClick={() => void tried(stopJob(name))}>
            stop
          </button>
        ) : (
          <button type="button" onClick={() => void tried(startJob(o.kind, name))}>
            {j?.state === "stopped" || r?.stopped === true ? `go on with it` : r === null ? verb : `${verb} again`}
          </button>
        )}
        <span role="status">
          {j !== undefined && goesOn(j) ? `${j.state === "waiting" ? "waiting for others to end" : (j.text ?? "reading the files")}, for ${span(j.spent_s)}` : ""}
          {j?.state === "stopped" ? "stopped; what is done is kept" : ""}
        </span>
      </p>
      {(j?.state === "failed" || j?.state === "mistaken") && (
        <p class="mistake">
          {j.message} {j.fix}
        </p>
      )}
      {j !== undefined && <Findings problems={j.problems} />}
      {r !== null && r.changed.length > 0 && (
        <p class="stale">
          Since this was computed {r.changed.join(", ")} {r.changed.length === 1 ? "has" : "have"} changed; it is of the files as they were.
        </p>
      )}
    </>
  );
}

const practice = "Local codes and licensed practice decide.";

/** cautioned is the text of a caution in the reader's units, as a sentence, without that which holds for all. */
export const cautioned = (text: string) => inUnits(ended(text.replace(practice, "").trim()));

/** Signs are cautions, each where it is told. */
export function Signs({ list }: { list: string[] }) {
  return (
    <>
      {list.map((c, i) => (
        <p key={c} class="caution">
          {cautioned(c)}
          {i === list.length - 1 && ` ${practice}`}
        </p>
      ))}
    </>
  );
}

/** plusMinus writes a value to the digits that its half-width supports: two of the half-width. */
export function plusMinus(value: number, half: number | null): string {
  if (half === null || !(half > 0)) return fixed(value, Math.abs(value) < 10 ? 2 : Math.abs(value) < 100 ? 1 : 0);
  let e = Math.floor(Math.log10(half));
  if (Math.round(half / 10 ** (e - 1)) >= 100) e++;
  const last = e - 1;
  const to = last > 0 ? 10 ** last : 0;
  const round = (x: number) => (to > 0 ? Math.round(x / to) * to : x);
  return `${fixed(round(value), Math.max(0, -last))}\u2009±\u2009${fixed(round(half), Math.max(0, -last))}`;
}
