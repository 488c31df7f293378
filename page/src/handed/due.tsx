// Results that are old, missing or were stopped, in the order in which they are to be renewed, each with the command that does it and
// a button for it.
import { Findings } from "../sheet/findings";
import { far, goesOn, stopJob } from "../sheet/jobs";
import { counted, ended } from "../sheet/numbers";
import { tried } from "../sheet/state";
import { composing, type Due, jobOf, renew, type Standing } from "./store";

function why(d: Due): string {
  if (d.missing) return "there is no result of it";
  const parts = [];
  if (d.changed.length > 0) parts.push(`${d.changed.join(", ")} changed since`);
  if (d.stopped) parts.push("it was stopped before its end");
  return parts.join("; ");
}

function One({ d }: { d: Due }) {
  const j = jobOf(d.name);
  return (
    <li>
      <p class="what">
        <b>{d.title}</b> <small>{d.kind}</small>
        {goesOn(j) ? (
          <button onClick={() => void tried(stopJob(d.name))}>stop</button>
        ) : j?.state === "asking" ? (
          <button onClick={() => renew(d.name, true)}>go on</button>
        ) : (
          d.here && (
            <button disabled={composing()} aria-label={`${d.missing ? "compute" : "renew"} ${d.title}`} onClick={() => renew(d.name)}>
              {d.missing ? "compute" : "renew"}
            </button>
          )
        )}
      </p>
      <p class="why">
        {why(d)} <code>{d.renew}</code>
      </p>
      {goesOn(j) && (
        <p class="why" role="status">
          {far(j!)}
        </p>
      )}
      {j?.state === "asking" && <p class="why">{ended(j.message ?? "")} Go on?</p>}
      {(j?.state === "failed" || j?.state === "mistaken") && (
        <p class="mistake">
          {ended(j.message ?? "")} {j.fix}
        </p>
      )}
      {j !== undefined && <Findings problems={j.problems} />}
    </li>
  );
}

/** how many are told at once */
const first = 6;

export function DueList({ s }: { s: Standing }) {
  if (s.due.length === 0) return null;
  return (
    <section class="due" aria-label="Old and missing results">
      <h2>
        Out of date or missing <small>{counted(s.due.length, "result", "results")}, in the order in which they are renewed</small>
      </h2>
      <ol>
        {s.due.slice(0, first).map((d) => (
          <One key={d.name} d={d} />
        ))}
      </ol>
      {s.due.length > first && (
        <details>
          <summary>{s.due.length - first} more</summary>
          <ol start={first + 1}>
            {s.due.slice(first).map((d) => (
              <One key={d.name} d={d} />
            ))}
          </ol>
        </details>
      )}
    </section>
  );
}
