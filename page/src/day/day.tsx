// What will a day give? A run with a load over its hours, what each number of open circuits can give, the light on the window, and a
// season's calendar.
import { useEffect } from "preact/hooks";
import { Light, lightSays } from "../light/light";
import { Cautions } from "../will/cautions";
import { Findings } from "../sheet/findings";
import { goesOn } from "../sheet/jobs";
import { share, span } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { inUnits } from "../sheet/sentence";
import { inShort, unsettled } from "../sheet/standing";
import { moved, name, run } from "../sheet/state";
import { rowAt } from "../sheet/times";
import { look, view } from "../sheet/view";
import { Able, Held } from "./able";
import { Course, cursorOf } from "./course";
import "./day.css";
import { SeasonPart } from "./season";
import { chosenSeason, circuits, course, day as told, days, first, follow, jobOf, kept, known, question, season } from "./store";

/** seasonShare is how much of what is wanted a season met; undefined: it does not say. */
function seasonShare(): number | undefined {
  const b = season.value?.doc?.season;
  if (b === undefined) return undefined;
  const [wanted, met] = typeof b["wanted_J"] === "number" ? [b["wanted_J"], b["met_J"]] : [b["wanted_kg"], b["met_kg"]];
  return typeof wanted === "number" && wanted > 0 && typeof met === "number" ? met / wanted : undefined;
}

export const day: Question = {
  name: question,
  asks: "What will a day give?",
  says() {
    if (days.value === null) return "";
    if (view.value.question === question && moved.value?.state === "computing" && told.value?.met_share === undefined && kept.value === null) return inShort(moved.value);
    if (goesOn(jobOf(chosenSeason.value))) return "season being computed";
    const met = kept.value?.met_share ?? told.value?.met_share;
    if (met !== undefined && view.value.question === question) return `${share(met)} of what is wanted`;
    const of = seasonShare();
    if (of !== undefined) return `over a season ${share(of)}`;
    if (season.value?.doc?.answers === false) return "the season is refused";
    if (days.value.runs.length === 0) return lightSays() || "nothing is wanted";
    return met !== undefined ? `${share(met)} of what is wanted` : "not computed";
  },
  knows: known,
  run: first,
  View: Day,
};

function sentence(): string {
  const d = told.value;
  const m = moved.value;
  const r = run.value;
  if (d === null || r === null) return "";
  if (kept.value !== null) return kept.value.sentence;
  if (r.failure !== undefined) return r.failure;
  if (d.sentence !== undefined && d.of !== "nothing") return d.sentence;
  if (d.of !== "nothing") return m?.state === "mistaken" ? "The files hold mistakes, so nothing is computed." : `${d.title}: what it gives is being computed.`;
  const others = days.value?.runs.length ?? 0;
  if (r.state === "mistaken" && !r.drawn) return "The files hold mistakes, so nothing is computed.";
  return others > 0 ? "This run wants nothing of the water. Choose a day that does." : "Nothing is wanted of the water in any run of this bench.";
}

/** Runs are the bench's runs with a load. */
function Runs() {
  const all = days.value?.runs ?? [];
  if (all.length === 0) return null;
  return (
    <nav class="days" aria-label="Runs with a load">
      {all.map((r) => (
        <a
          key={r.name}
          href={`/${question}?run=${encodeURIComponent(r.name)}`}
          aria-current={r.name === name.value ? "true" : undefined}
          onClick={(e) => {
            e.preventDefault();
            look({ run: r.name, time: Infinity });
          }}
        >
          {r.title} <small>{span(r.until_s)}</small>
        </a>
      ))}
    </nav>
  );
}

function Amounts() {
  const d = told.value!;
  const pale = run.value !== null && unsettled(run.value);
  if (d.amounts.length === 0) return null;
  return (
    <table class={pale ? "amounts unsettled" : "amounts"}>
      <caption>What it amounts to</caption>
      <tbody>
        {d.amounts.map((a) => (
          <tr key={a.name}>
            <th scope="row">{inUnits(a.name)}</th>
            <td>{inUnits(a.text)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Day() {
  useEffect(follow, []);
  const d = told.value;
  const r = run.value;
  const h = course.value;
  const c = circuits.value;
  const at = h === null ? -1 : rowAt(h.time_s, cursorOf(h));
  const now = h?.columns.find((k) => k.name === "block mean")?.values[Math.max(0, at)] ?? null;
  return (
    <>
      <p class={r !== null && kept.value === null && (unsettled(r) || r.state === "computing") ? "sentence unsettled" : "sentence"}>{inUnits(sentence())}</p>
      <Runs />
      {r !== null && r.state === "mistaken" && <Findings problems={r.problems} />}
      {d !== null && d.of === "nothing" && days.value?.runs.length === 0 && (
        <p>
          A duty says what is wanted of the water under <code>load</code>: a heat flow or steam at hours of the day, and which circuits are opened for it.
        </p>
      )}
      {d !== null && d.of !== "nothing" && (
        <>
          <div class="plate dayplate">
            <Course d={d} h={h} />
            <div class="margin">
              <Amounts />
            </div>
          </div>
          {c !== null && c.even.length > 1 && (
            <div class="plate dayplate">
              <Able c={c} d={d} now={now} />
              <div class="margin">
                <Held c={c} />
              </div>
            </div>
          )}
        </>
      )}
      <Light />
      <SeasonPart />
      {d !== null && d.of !== "nothing" && <Cautions />}
    </>
  );
}
