// What do I hand over? The dossier as it stands beside the results that it is made from: its documents, what of it is old, missing
// or wrong and the command that mends it, what it would say otherwise, and the author's own words.
import { useEffect, useRef } from "preact/hooks";
import { Findings } from "../sheet/findings";
import { far, goesOn, stopJob } from "../sheet/jobs";
import { bytes, counted, ended, fixed, spelled } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { tried } from "../sheet/state";
import { look, view } from "../sheet/view";
import { Differs } from "./differs";
import { DueList } from "./due";
import "./handed.css";
import { Sheets } from "./sheets";
import { ahead, at, compose, composing, type FileOf, follow, job, jobOf, known, type Paper, question, type Standing, standing } from "./store";
import { Words, wordsProblems } from "./words";

export const handed: Question = {
  name: question,
  asks: "What do I hand over?",
  says() {
    const s = standing.value;
    if (s === null) return "";
    if (composing()) return "being composed";
    const wrong = wordsProblems().length;
    if (wrong > 0) return counted(wrong, "mistake in its words", "mistakes in its words");
    if (s.at === undefined) return "not written yet";
    const old = s.due.filter((d) => !d.missing).length;
    if (old > 0) return counted(old, "result out of date", "results out of date");
    if (s.changed.length + s.new.length + s.damaged.length > 0) return "older than its results";
    return s.due.length > 0 ? counted(s.due.length, "result missing", "results missing") : "as the results stand";
  },
  knows: known,
  View: Handed,
};

/** duly says in words how many results are old or missing; "": none. */
function duly(s: Standing): string {
  const missing = s.due.filter((d) => d.missing).length;
  const old = s.due.length - missing;
  const parts = [old > 0 ? `${spelled(old)} ${old === 1 ? "result is" : "results are"} out of date` : "", missing > 0 ? `${spelled(missing)} ${missing === 1 ? "is" : "are"} missing` : ""];
  return parts.filter((p) => p !== "").join(" and ");
}

/** grouped names files, those of one folder of results together. */
function grouped(files: string[]): string {
  const folders = new Map<string, number>();
  for (const f of files) {
    const key = f.startsWith("results/") || f.includes("/results/") ? f.slice(0, f.lastIndexOf("/")) : f;
    folders.set(key, (folders.get(key) ?? 0) + 1);
  }
  return [...folders].map(([key, n]) => (n > 1 ? `${key} (${fixed(n, 0)} files)` : key)).join(", ");
}

function sentence(s: Standing): string {
  if (composing()) return "The dossier is being composed.";
  const open = duly(s);
  if (s.at === undefined) return open === "" ? "No dossier was written yet; all results are ready for one." : `No dossier was written yet; of what it would rest on, ${open}.`;
  const n = ahead.value?.count ?? 0;
  if (wordsProblems().length > 0) return `${s.words} asks for what there is not; the dossier stands as it was.`;
  if (s.damaged.length > 0) return `${s.damaged.join(", ")} ${s.damaged.length === 1 ? "is" : "are"} not as the program wrote ${s.damaged.length === 1 ? "it" : "them"}.`;
  if (s.changed.length + s.new.length > 0) {
    const would = n === 0 ? "" : `: composed now, ${n === 1 ? "one place" : `${spelled(n)} places`} in it would say something else`;
    return `The dossier is older than what it was made from${would}${open === "" ? "" : `; ${open}`}.`;
  }
  return open === "" ? "The dossier says what the results say." : `The dossier says what the results say, of which ${open}; it tells so where their numbers stand.`;
}

function File({ f, says, sized }: { f: FileOf; says: string; sized?: boolean }) {
  return (
    <a href={at(f.path)} target="_blank" rel="noopener">
      {says}
      {sized === true && <small> {bytes(f.bytes)}</small>}
    </a>
  );
}

/** shownOf is the document that is shown beside. */
const shownOf = (s: Standing): Paper | undefined => s.papers.find((p) => p.name === view.value.also["paper"] && p.html !== undefined) ?? s.papers.find((p) => p.html !== undefined);

function Papers({ s }: { s: Standing }) {
  const now = shownOf(s);
  return (
    <section class="papers" aria-label="Documents">
      <table>
        <caption>What is handed over</caption>
        <tbody>
          {s.papers.map((p) => (
            <tr key={p.name}>
              <th scope="row">
                {p.html === undefined ? (
                  p.is
                ) : (
                  <a
                    href={`/${question}?paper=${p.name}`}
                    aria-current={p === now ? "true" : undefined}
                    onClick={(e) => {
                      e.preventDefault();
                      look({ also: { ...view.value.also, paper: p.name } });
                    }}
                  >
                    {p.is}
                  </a>
                )}
                <small>for {p.for}</small>
              </th>
              <td>{p.html === undefined ? "not written" : <File f={p.html} says="HTML" sized />}</td>
              <td>{p.pdf !== undefined && <File f={p.pdf} says="PDF" sized />}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {s.beside.length > 0 && (
        <p class="besides">
          Beside them:{" "}
          {s.beside.map((f, i) => (
            <span key={f.name}>
              {i > 0 && ", "}
              <File f={f} says={f.name} />
            </span>
          ))}
        </p>
      )}
      {s.at !== undefined && (
        <p class="small">
          Composed {new Date(s.at).toLocaleString()} by emberbank {s.version}, in {s.folder}
        </p>
      )}
      {s.changed.length > 0 && <p class="stale">Changed since: {grouped(s.changed)}.</p>}
      {s.new.length > 0 && <p class="stale">Come since: {s.new.join(", ")}.</p>}
    </section>
  );
}

function Verbs({ s, print }: { s: Standing; print: () => void }) {
  const j = jobOf(job);
  const going = goesOn(j);
  const here = s.due.filter((d) => d.here).length;
  return (
    <>
      <p class="verbs handedverbs">
        {going ? <button onClick={() => void tried(stopJob(job))}>stop</button> : <button onClick={() => compose(false)}>{s.at === undefined ? "compose the dossier" : "renew the dossier"}</button>}
        {!going && here > 0 && <button onClick={() => compose(true)}>{`renew ${here === 1 ? "the result" : `${spelled(here)} results`}, then the dossier`}</button>}
        <button disabled={shownOf(s) === undefined} onClick={print}>
          print
        </button>
        {going && (
          <span role="status">
            {far(j!, "reading the results")}
          </span>
        )}
        {j?.state === "stopped" && <span role="status">Stopped; the dossier that stood there stays.</span>}
      </p>
      {(j?.state === "failed" || (j?.state === "mistaken" && wordsProblems().length === 0)) && (
        <p class="mistake" role="alert">
          {ended(j.message ?? "")} {j.fix}
        </p>
      )}
    </>
  );
}

/** Lacks are the mistakes in files of runs for which the documents lack what hangs on them. */
function Lacks({ s }: { s: Standing }) {
  const all = (ahead.value?.problems ?? []).filter((p) => p.file !== s.words);
  if (all.length === 0) return null;
  return (
    <section aria-label="Mistakes in files of runs">
      <h2>The documents lack what hangs on these</h2>
      <Findings problems={all} />
    </section>
  );
}

function Handed() {
  useEffect(follow, []);
  const frame = useRef<HTMLIFrameElement>(null);
  const s = standing.value;
  if (s === null) return null;
  const paper = shownOf(s);
  return (
    <>
      <p class={composing() ? "sentence unsettled" : "sentence"}>{sentence(s)}</p>
      <Verbs s={s} print={() => frame.current?.contentWindow?.print()} />
      <div class="plate handedplate">
        <div class="left">
          <Papers s={s} />
          <DueList s={s} />
          <Lacks s={s} />
          {s.at !== undefined && <Differs s={s} />}
          <Words s={s} />
        </div>
        <Sheets paper={paper} at={s.at ?? ""} frame={frame} />
      </div>
    </>
  );
}
