// Do I believe it? A match: what was found of the uncertain parameters and how well, how the matched model does on trials that it
// has not seen, and in which range that was shown.
import { Chosen, jobOf, outcome, Signs, useOutcome, chosenOf, known, plusMinus } from "../sheet/outcome";
import { address } from "../sheet/ask";
import { Asked } from "../sheet/asked";
import { goesOn } from "../sheet/jobs";
import { fixed } from "../sheet/numbers";
import { Picture } from "../sheet/picture";
import type { Question } from "../sheet/question";
import { inUnits } from "../sheet/sentence";
import { unitOf } from "../sheet/units";
import { Envelope } from "./envelope";
import type { Match } from "./match";
import { Search } from "./search";

const o = outcome<Match>("believed", "match", "match.json");

export const believed: Question = {
  name: "believed",
  asks: "Do I believe it?",
  says() {
    const j = jobOf(o);
    if (j !== undefined && goesOn(j)) return "being matched";
    const d = o.doc.value;
    if (o.files.value === null) return "";
    if (o.files.value.length === 0) return "no match yet";
    if (d === null) return "not matched";
    if (d.unfinished) return "stopped before its end";
    if (d.unfit) return "no, it does not fit";
    const all = d.trust.length;
    return all === 0 ? "fitted, none set aside" : `${d.trust.filter((t) => t.within_2_u_val).length} of ${all} as predicted`;
  },
  knows: () => known(o),
  View: Believed,
};

function sentence(): string {
  const d = o.doc.value;
  const j = jobOf(o);
  if (o.files.value?.length === 0) return "No file of the bench says what is to be matched.";
  if (d === null) return j !== undefined && goesOn(j) ? "The parameters are being looked for." : chosenOf(o) === "" ? "" : "The parameters were not matched yet.";
  if (d.unfinished) return "The match was stopped before its end: what it had found so far is no result to rely on.";
  return inUnits(d.verdict);
}

function Believed() {
  useOutcome(o);
  const d = o.doc.value;
  const r = o.results.value;
  const j = jobOf(o);
  const picture = (name: string) => r?.files.find((f) => f.name === name)?.path;
  const corner = picture("corner.svg");
  const fits = (r?.files ?? []).filter((f) => /^fit-\d+\.svg$/.test(f.name)).sort((a, b) => Number(a.name.slice(4, -4)) - Number(b.name.slice(4, -4)));
  const trials = [...new Set(d?.columns.map((c) => c.trial) ?? [])];
  const aside = new Set(d?.columns.filter((c) => c.set_aside).map((c) => c.trial) ?? []);
  const order = fits.map((f, i) => ({ path: f.path, trial: trials[i] ?? f.name }));
  const fit = ({ path, trial }: { path: string; trial: string }) => (
    <div key={path} class="wide">
      <Picture src={address("result", { path, at: r?.at ?? "" })} file={`${d?.name ?? ""} ${trial}`} />
    </div>
  );
  return (
    <div class="outcome believed">
      <p class="sentence">{sentence()}</p>
      <Chosen o={o} verb="match it" />
      {j !== undefined && goesOn(j) && <Search steps={o.steps.value} />}
      {d === null && o.files.value !== null && chosenOf(o) !== "" && <Asked name={chosenOf(o)} />}
      {d !== null && r !== null && (
        <>
          {d.doubts.map((s) => (
            <p key={s} class="inDoubt">
              {inUnits(s)}
            </p>
          ))}
          <div class="pair">
            <div>
              <Parameters d={d} />
              {d.not_told_apart.map((c) => (
                <p key={c.sentence} class="inDoubt">
                  {c.sentence}
                </p>
              ))}
              <Trust d={d} />
            </div>
            <div>{!d.unfinished && <Envelope e={d.envelope} />}</div>
          </div>
          <Signs list={d.cautions} />
          {corner !== undefined && (
            <section class="wide" aria-label="What is known of each pair of parameters">
              <Picture src={address("result", { path: corner, at: r.at })} file={`${d.name} corner`} />
            </section>
          )}
          {order.filter(({ trial }) => aside.has(trial)).map(fit)}
          <section class="wide" aria-label="Residuals of all trials">
            <Residuals d={d} />
            {order.some(({ trial }) => !aside.has(trial)) && (
              <details>
                <summary>the trials from which it was found, measured and computed</summary>
                {order.filter(({ trial }) => !aside.has(trial)).map(fit)}
              </details>
            )}
          </section>
          {d.notes.map((n) => (
            <p key={n} class="note">
              {inUnits(n)}
            </p>
          ))}
          <p class="note">
            {fixed(d.rows, 0)} rows, {fixed(d.runs, 0)} runs; {d.ended}. Results in {r.folder}.
          </p>
        </>
      )}
    </div>
  );
}

function Parameters({ d }: { d: Match }) {
  return (
    <table>
      <caption>
        Found{" "}
        <small>
          from {[...new Set(d.columns.filter((c) => !c.set_aside).map((c) => c.trial))].join(", ")}; half-widths at 95&nbsp;%
        </small>
      </caption>
      <tbody>
        {d.parameters.map((p) => {
          const half = p.lower_95 === null || p.upper_95 === null ? null : shownHalf(p.value, p.shown, (p.upper_95 - p.lower_95) / 2, p.unit);
          return (
            <tr key={p.name}>
              <th scope="row">{p.name}</th>
              <td>{half === null ? `${fixed(p.shown, 3)}, not determined` : plusMinus(p.shown, half)}</td>
              <td class="unit">
                {unitOf(p.unit)}
                {p.by_profile && " by profile"}
                {p.at_bound !== 0 && " at its bound"}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** shownHalf brings a half-width in SI to the unit in which its value is shown; a temperature's zero drops out of it. */
function shownHalf(si: number, shown: number, half: number, unit: string): number {
  if (unit === "degC" || unit === "°C" || si === 0) return half;
  return (half * shown) / si;
}

function Trust({ d }: { d: Match }) {
  if (d.trust.length === 0) return <p class="note">No trial was set aside, so nothing shows how the matched model does on what it has not seen.</p>;
  return (
    <table>
      <caption>
        Set aside: predicted, then measured <small>after ASME V&amp;V 20: E and u, standard</small>
      </caption>
      <thead>
        <tr>
          <td />
          <th scope="col">E</th>
          <th scope="col">u</th>
          <th scope="col">worst</th>
          <th scope="col">in the band</th>
          <td />
        </tr>
      </thead>
      <tbody>
        {d.trust.map((t) => (
          <tr key={t.trial + t.phase + t.column}>
            <th scope="row">
              {t.trial}
              {t.phase !== "" && `, ${t.phase}`}, {t.column}
            </th>
            <td>{signed(t.E, t.u_val)}</td>
            <td>{digits(t.u_val, t.u_val)}</td>
            <td>{signed(t.worst, t.u_val)}</td>
            <td>{fixed(100 * t.share_within_band, 0)}&nbsp;%</td>
            <td class="unit">
              {t.unit === "degC" ? "K" : t.unit}
              {t.within_2_u_val ? "" : ", beyond 2 u"}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const places = (u: number) => (u > 0 ? Math.max(0, 1 - Math.floor(Math.log10(u))) : 2);
const digits = (x: number, u: number) => fixed(x, places(u));
const signed = (x: number, u: number) => (x > 0 ? "+" : "") + digits(x, u);

function Residuals({ d }: { d: Match }) {
  return (
    <table>
      <caption>
        Computed less measured <small>all rows</small>
      </caption>
      <thead>
        <tr>
          <td />
          <th scope="col">mean</th>
          <th scope="col">root mean square</th>
          <th scope="col">worst</th>
          <th scope="col">in the band</th>
          <td />
        </tr>
      </thead>
      <tbody>
        {d.columns.map((c) => (
          <tr key={c.trial + c.column}>
            <th scope="row">
              {c.trial}, {c.column}
              {c.set_aside && ", set aside"}
            </th>
            <td>{signed(c.bias, c.root_mean_square)}</td>
            <td>{digits(c.root_mean_square, c.root_mean_square)}</td>
            <td>{signed(c.worst, c.root_mean_square)}</td>
            <td>{fixed(100 * c.share_within_band, 0)}&nbsp;%</td>
            <td class="unit">{c.unit === "degC" ? "K" : c.unit}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
