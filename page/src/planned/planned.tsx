// How do I try it? A plan: what a trial will teach of the uncertain parameters before anything is lit, which sensor tells most,
// how often to log, and what could be done otherwise.
import { address } from "../sheet/ask";
import { Asked } from "../sheet/asked";
import { goesOn } from "../sheet/jobs";
import { counted, fixed } from "../sheet/numbers";
import { Chosen, chosenOf, jobOf, known, outcome, plusMinus, Signs, useOutcome } from "../sheet/outcome";
import { Picture } from "../sheet/picture";
import type { Question } from "../sheet/question";
import { inUnits } from "../sheet/sentence";
import { unitOf } from "../sheet/units";
import { PlaceSensor } from "./place";

interface Plan {
  name: string;
  verdict: string[];
  parameters: { name: string; unit: string; shown: number; shown_half_width_95: number }[];
  sensors: { column: string; teaches_nothing: boolean; sentence: string }[];
  most_helpful: string | null;
  candidates: { kind: string; name: string; sentence: string; cautions?: string[] }[];
  not_told_apart: { sentence: string }[];
  interval_s: number;
  interval_that_suffices_s: number;
  cautions: string[];
  notes: string[];
  runs: number;
}

/** what could be done otherwise, by its kind, in a word or two */
const otherwise: Record<string, string> = { sensor: "a sensor", longer: "longer", flow: "other flow", cover: "cover" };

const o = outcome<Plan>("planned", "plan", "plan.json");

export const planned: Question = {
  name: "planned",
  asks: "How do I try it?",
  says() {
    const j = jobOf(o);
    if (j !== undefined && goesOn(j)) return "being planned";
    const d = o.doc.value;
    if (o.files.value === null) return "";
    if (o.files.value.length === 0) return "no plan yet";
    if (d === null) return "not planned";
    const best = d.candidates.find((c) => c.name === d.most_helpful)?.kind ?? "";
    return best in otherwise ? `${otherwise[best]} helps most` : `${counted(d.parameters.length, "parameter", "parameters")}, ${counted(d.sensors.length, "sensor", "sensors")}`;
  },
  knows: () => known(o),
  View: Planned,
};

function sentence(): string {
  const d = o.doc.value;
  const j = jobOf(o);
  if (o.files.value?.length === 0) return "No file of the bench says what a trial is to teach.";
  if (d !== null) return inUnits(d.verdict[0] ?? "");
  if (j !== undefined && goesOn(j)) return "What the trial will teach is being computed.";
  return chosenOf(o) === "" ? "" : "What the trial will teach was not computed yet.";
}

function Planned() {
  useOutcome(o);
  const d = o.doc.value;
  const r = o.results.value;
  const svg = r?.files.find((f) => f.name === "expected.svg")?.path;
  return (
    <div class="outcome planned">
      <p class="sentence">{sentence()}</p>
      <Chosen o={o} verb="plan it" />
      {chosenOf(o) !== "" && <PlaceSensor key={chosenOf(o)} plan={chosenOf(o)} />}
      {d === null && o.files.value !== null && chosenOf(o) !== "" && <Asked name={chosenOf(o)} />}
      {d !== null && r !== null && (
        <>
          {d.verdict.slice(1).map((v) => (
            <p key={v} class="verdict">
              {inUnits(v)}
            </p>
          ))}
          {d.not_told_apart.map((c) => (
            <p key={c.sentence} class="inDoubt">
              {c.sentence}
            </p>
          ))}
          <div class="pair">
            <div>
              <table>
                <caption>
                  What will be known <small>half-widths at 95&nbsp;%, after the trial as planned</small>
                </caption>
                <tbody>
                  {d.parameters.map((p) => (
                    <tr key={p.name}>
                      <th scope="row">{p.name}</th>
                      <td>{plusMinus(p.shown, p.shown_half_width_95)}</td>
                      <td class="unit">{unitOf(p.unit)}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
            <div>
              <h2>What each sensor tells</h2>
              <ul>
                {d.sensors.map((s) => (
                  <li key={s.column}>{inUnits(s.sentence)}</li>
                ))}
              </ul>
            </div>
          </div>
          <Signs list={d.cautions} />
          {svg !== undefined && (
            <section class="wide" aria-label="Known before, and after the trial">
              <Picture src={address("result", { path: svg, at: r.at })} file={`${d.name} plan`} />
            </section>
          )}
          {d.candidates.length > 0 && (
            <section class="wide" aria-label="What could be done otherwise">
              <h2>What could be done otherwise</h2>
              <Candidates list={d.candidates.slice(0, first)} />
              {d.candidates.length > first && (
                <details>
                  <summary>{d.candidates.length - first} more, which help less</summary>
                  <Candidates list={d.candidates.slice(first)} />
                </details>
              )}
            </section>
          )}
          {d.notes.map((n) => (
            <p key={n} class="note">
              {inUnits(n)}
            </p>
          ))}
          <p class="note">
            {fixed(d.runs, 0)} runs. Results in {r.folder}.
          </p>
        </>
      )}
    </div>
  );
}

/** how many candidates are told at once; the most helpful come first */
const first = 6;

function Candidates({ list }: { list: Plan["candidates"] }) {
  return (
    <ul>
      {list.map((c) => (
        <li key={c.kind + c.name}>
          {inUnits(c.sentence)}
          <Signs list={c.cautions ?? []} />
        </li>
      ))}
    </ul>
  );
}
