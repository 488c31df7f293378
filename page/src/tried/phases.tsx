// Heat by phases: a column each, with half-widths at 95 %, and of the one that is looked at where its uncertainty comes from.
import { ended, fixed, share } from "../sheet/numbers";
import { plusMinus } from "../sheet/outcome";
import { inUnits } from "../sheet/sentence";
import { reading } from "../sheet/units";
import { lasts } from "./course";
import type { Phase, Repair, Result, Trial } from "./trials";

/** known writes a result with its half-width, or the interval of the draws where those do not agree with it. */
function known(r: Result, of: (x: number) => number): string {
  const half = r.half_width_95 === null ? null : Math.abs(of(r.half_width_95) - of(0));
  if (r.drawn === undefined || r.drawn.first_order_agrees) return plusMinus(of(r.value), half);
  const digits = half === null || !(half > 0) ? 2 : Math.max(0, 1 - Math.floor(Math.log10(half)));
  return `${fixed(of(r.drawn.low), digits)} to ${fixed(of(r.drawn.high), digits)}`;
}

/** heat writes a heat of a phase; what is nothing beside the phase's largest is 0. */
function heat(r: Result | null, p: Phase): string {
  if (r === null) return "";
  const most = Math.max(...[p.energy_in, p.heat_to_the_water, p.heat_stored].map((o) => Math.abs(o?.value ?? 0)));
  if (Math.abs(r.value) + (r.half_width_95 ?? 0) <= 1e-3 * most) return "0";
  return known(r, reading("J").of);
}

const rows: { name: string; of: (p: Phase) => string; unit: () => string }[] = [
  { name: "energy in", of: (p) => heat(p.energy_in, p), unit: () => reading("J").name },
  { name: "to the water", of: (p) => heat(p.heat_to_the_water, p), unit: () => reading("J").name },
  { name: "stored", of: (p) => heat(p.heat_stored, p), unit: () => reading("J").name },
  { name: "lost, by difference", of: (p) => heat(p.heat_lost_by_difference, p), unit: () => reading("J").name },
  { name: "losses expected", of: (p) => (p.closed_by_construction ? "found here" : heat(p.losses_expected, p)), unit: () => reading("J").name },
  {
    name: "books close within",
    of: (p) => (p.closure === null ? "" : known(p.closure, (x) => 100 * x)),
    unit: () => "%",
  },
  {
    name: "cooling constant",
    of: (p) => {
      const c = p.cooling;
      if (c === null || c.constant_s === null) return "";
      return plusMinus(c.constant_s / 3600, c.constant_u_s === null ? null : (1.96 * c.constant_u_s) / 3600);
    },
    unit: () => "h",
  },
];

export function PhaseTable({ phases, selected, choose }: { phases: Phase[]; selected: number; choose: (i: number) => void }) {
  const shown = rows.filter((r) => phases.some((p) => r.of(p) !== ""));
  return (
    <table class="heats">
      <caption>
        Heat by phases <small>half-widths at 95&nbsp;%</small>
      </caption>
      <thead>
        <tr>
          <td />
          {phases.map((p, i) => (
            <th key={i} scope="col" aria-current={i === selected ? "true" : undefined}>
              <button type="button" class="reads" onClick={() => choose(i)}>
                {p.kind}
              </button>
              <small>{lasts(p.to_s - p.from_s)}</small>
            </th>
          ))}
          <td />
        </tr>
      </thead>
      <tbody>
        {shown.map((r) => (
          <tr key={r.name}>
            <th scope="row">{r.name}</th>
            {phases.map((p, i) => (
              <td key={i} aria-current={i === selected ? "true" : undefined}>
                {r.of(p)}
              </td>
            ))}
            <td class="unit">{r.unit()}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Budget says why a phase is one, unless told what it gave, and shows where the uncertainty of a phase's telling result comes from; a bar is as wide as its share. */
export function Budget({ t, selected, told }: { t: Trial; selected: number; told: boolean }) {
  const p = t.heat?.phases[selected];
  const all = t.budgets[selected] ?? [];
  if (p === undefined) return null;
  const wanted = p.kind === "drain" ? "heat to the water" : p.closure !== null ? "closure" : "heat lost by difference";
  const b = all.find((b) => b.result === wanted) ?? all.at(-1);
  const most = Math.max(0.01, ...(b?.rows.map((r) => Math.abs(r.share)) ?? []));
  return (
    <section class="budget" aria-label={`The ${p.kind} in detail`}>
      <p class="why">
        {p.by_hand ? "" : "Found: "}
        {inUnits(ended(p.why))} {told ? "" : inUnits(ended(p.sentence))}
      </p>
      {p.cooling !== null && <p class="why">{inUnits(p.cooling.sentence)}</p>}
      {b !== undefined && b.rows.length > 0 && (
        <table>
          <caption>Where the uncertainty of the {b.result} comes from</caption>
          <tbody>
            {b.rows.slice(0, 6).map((r) => (
              <tr key={r.name}>
                <th scope="row">{r.name}</th>
                <td>
                  <svg width="84" height="9" aria-hidden="true">
                    <rect width={(84 * Math.abs(r.share)) / most} height="9" />
                  </svg>
                </td>
                <td>{share(r.share)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {p.suspicions.map((s) => (
        <p key={s} class="doubtful">
          {inUnits(s)}
        </p>
      ))}
      {p.cautions.map((s) => (
        <p key={s} class="sign">
          {inUnits(s)}
        </p>
      ))}
      {p.notes.map((s) => (
        <p key={s} class="note">
          {s}
        </p>
      ))}
    </section>
  );
}

/** Mended lists what was taken out or seen and left: nothing is mended silently. */
export function Mended({ repairs }: { repairs: Repair[] }) {
  return (
    <section class="mended" aria-label="What was mended">
      <h2>Mended, nothing silently</h2>
      {repairs.length === 0 ? (
        <p>Nothing was mended. The loggers' files stay as they are in any case.</p>
      ) : (
        <table>
          <tbody>
            {repairs.map((r, i) => (
              <tr key={i}>
                <td class="count">{fixed(r.count, 0)}</td>
                <th scope="row">{r.column ?? r.file}</th>
                <td>
                  {r.what}
                  {r.line !== undefined && <small> first in line {r.line}</small>}
                </td>
                <td class="did">{r.mended ? (r.key === "dribble" || r.key === "offset" ? "mended" : "left out") : "seen, left as it is"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
