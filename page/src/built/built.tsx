// What should I build? The bench's studies: what each varies, its dots as they fill in, and the verdict in the figure.
import { useEffect } from "preact/hooks";
import { address } from "../sheet/ask";
import { Findings } from "../sheet/findings";
import { goesOn, type Job } from "../sheet/jobs";
import { Picture } from "../sheet/picture";
import type { Question } from "../sheet/question";
import { inUnitsBut } from "../sheet/sentence";
import { look, view } from "../sheet/view";
import "./built.css";
import { type Dot, Dots } from "./dots";
import { Setup } from "./setup";
import { far, Standing } from "./standing";
import { begin, chosen, jobOf, load, outcome, type Outcome, results, seen, studies, told, type Told } from "./studies";
import { Variants } from "./variants";
import { Verdict, Warned } from "./verdict";

export const built: Question = {
  name: "built",
  asks: "What should I build?",
  says() {
    const all = studies.value;
    if (all === null) return "";
    if (all.length === 0) return "no study yet";
    const j = all.map((s) => jobOf(s.name)).find(goesOn);
    if (j !== undefined) return `${j.done} of ${j.total} done`;
    const done = all.filter((s) => s.results !== undefined).length;
    return `${done === 0 ? "none" : done} of ${all.length} computed`;
  },
  knows: load,
  View: Built,
};

const also = (change: Record<string, string>) => look({ also: { ...view.value.also, ...change } });

/** sentence is the answer, or what stands between the page and it. */
function sentence(t: Told | null, of: Outcome | null, j: Job | undefined): string {
  if (studies.value?.length === 0) return "Nothing was asked yet. Point at what may be built in another way.";
  if (t === null) return "";
  if (goesOn(j)) return `${far(j!).replace(/^./, (c) => c.toUpperCase())}.`;
  if (t.mistakes > 0) return "The study cannot be computed as it is written; what stands against it is below.";
  if (of === null) return `${t.title}: not computed yet.`;
  const first = of.answers[0]?.sentences[0];
  const goes = of.notes.find((n) => /^Over .* goes from /.test(n)); // between which values a response lies
  return first ?? of.constraints[0]?.sentence ?? goes ?? `${of.variants.length} variants are computed; nothing was asked of them.`;
}

function Studies() {
  const list = studies.value ?? [];
  const setting = view.value.also["new"] === "1";
  const link = (key: string, to: Record<string, string>, current: boolean, says: string, more: string) => (
    <a
      key={key}
      href={`/built?${new URLSearchParams(to).toString()}`}
      aria-current={current ? "true" : undefined}
      onClick={(e) => {
        e.preventDefault();
        look({ also: to });
      }}
    >
      {says}
      {more !== "" && <small> {more}</small>}
    </a>
  );
  return (
    <nav class="studies" aria-label="Studies">
      {list.map((s) => {
        const j = jobOf(s.name);
        const state = goesOn(j) ? `${j!.done} of ${j!.total}` : s.mistakes > 0 ? "mistakes" : s.results !== undefined ? "" : "not computed";
        return link(s.name, { study: s.name }, !setting && s.name === chosen(), s.title, state);
      })}
      {link("new", { new: "1" }, setting, "ask something new", "")}
    </nav>
  );
}

/** dotsOf are the variants that have their outcome: of the study as it is computed now, else of its results. */
function dotsOf(of: Outcome | null, fills: boolean): Dot[] {
  if (fills || of === null) {
    return [...seen.value.values()]
      .map((p) => ({ number: p.number, values: p.values, meets: p.meets_the_constraints, failed: p.failure !== undefined }))
      .sort((a, b) => a.number - b.number);
  }
  return of.variants.map((v, i) => ({ number: i + 1, values: v.values, meets: v.meets_the_constraints, failed: v.failure !== undefined }));
}

const everyDot = "every variant";

function Figure({ study, of, dots, fills }: { study: Told; of: Outcome | null; dots: Dot[]; fills: boolean }) {
  const pictures = fills || of === null ? [] : (results.value?.files ?? []).filter((f) => f.name.endsWith(".svg"));
  const asked = view.value.also["show"] ?? "";
  const picture = pictures.find((f) => f.name === asked) ?? (asked === everyDot ? undefined : pictures[0]);
  const columns = fills || of === null ? study.columns : of.columns;
  const axes = columns.filter((c) => c.is === "axis").length;
  const read = Math.max(axes, columns.findIndex((c) => c.is === "response" && c.name === view.value.also["read"]));
  const plain = (s: string) => s.replace(/\.svg$/, "").replace(/^([a-z]+)-/, "$1: ").replaceAll("-", " ");
  return (
    <figure class="studied">
      {picture !== undefined ? (
        <Picture src={address("result", { path: picture.path, at: results.value!.at })} file={`${study.title}-${picture.name.replace(/\.svg$/, "")}`} />
      ) : (
        <Dots study={study.name} columns={columns} levels={study.levels} dots={dots} read={read} count={fills || of === null ? study.count : dots.length} inOrder={study.kind !== "sweep"} opens={!fills && of !== null} />
      )}
      <figcaption class="shows">
        {pictures.length > 0 && (
          <>
            {[...pictures.map((f) => f.name), everyDot].map((n) => (
              <button key={n} aria-pressed={picture === undefined ? n === everyDot : n === picture.name} onClick={() => also({ show: n })}>
                {plain(n)}
              </button>
            ))}
          </>
        )}
        {picture === undefined &&
          columns.slice(axes).length > 1 &&
          columns.slice(axes).map((c) => (
            <button key={c.name} aria-pressed={columns[read] === c} onClick={() => also({ read: c.name })}>
              {c.name}
            </button>
          ))}
      </figcaption>
    </figure>
  );
}

function Built() {
  begin();
  useEffect(() => {
    void load();
  }, []);
  const setting = view.value.also["new"] === "1" || studies.value?.length === 0;
  const t = told.value;
  const of = outcome.value;
  const j = jobOf(chosen());
  const fills = goesOn(j) || of === null; // the last verdict stays until there is another
  const dots = dotsOf(of, fills);
  const says = sentence(t, of, j);
  return (
    <>
      <p class={goesOn(j) && !setting ? "sentence unsettled" : "sentence"}>{setting ? "What may be built in another way, and what is wanted of it?" : inUnitsBut(says, (of ?? t)?.columns.map((c) => c.name) ?? [])}</p>
      <Studies />
      {setting ? (
        <Setup />
      ) : (
        t !== null && (
          <>
            <div class="plate figureplate">
              {t.mistakes === 0 ? <Figure study={t} of={of} dots={dots} fills={fills} /> : <Findings problems={t.problems} />}
              <div class="margin">
                <Standing study={t} job={j} changed={of === null ? null : (results.value?.changed ?? [])} />
                {of !== null && !fills && <Warned of={of} />}
                <p class="small">
                  {t.name}
                  {t.run !== "" && <>, over {t.run}</>}
                  {of !== null && results.value !== null && <>; results of {new Date(results.value.at).toLocaleString()} in {results.value.folder}</>}
                </p>
                {t.mistakes === 0 && <Findings problems={t.problems} />}
              </div>
            </div>
            <div class="plate builtplate">
              {of !== null && !fills && (
                <div class="left">
                  <Verdict of={of} first={says} />
                </div>
              )}
              {dots.length > 0 && (
                <div class="right">
                  <Variants study={t.name} columns={fills || of === null ? t.columns : of.columns} dots={dots} opens={!fills && of !== null} />
                </div>
              )}
            </div>
          </>
        )
      )}
    </>
  );
}
