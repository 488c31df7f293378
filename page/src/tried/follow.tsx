// While a trial runs: what every channel says now beside what the model predicts for it, how the two went since, the time left to
// what is waited for, and what calls for somebody.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { ask } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { Findings } from "../sheet/findings";
import { fixed, shown, span } from "../sheet/numbers";
import { tried } from "../sheet/state";
import { drawn, marksOf } from "./marks";
import { load } from "./trials";

interface Standing {
  trial: string;
  state: "computing" | "done" | "failed";
  message?: string;
  problems: Problem[];
  results?: string;
}

interface Channel {
  name: string;
  unit: string;
  value: number | null;
  at_s: number | null;
  age_s: number | null;
  lost: boolean;
  standing_still: boolean;
  rate_per_s: number | null;
  predicted: number | null;
  band: number | null;
  departed: boolean;
  targets?: { reaches: number; reached: boolean; left_s: number | null; lower_s: number | null; upper_s: number | null; by: string }[];
}

interface Report {
  at_s: number | null;
  moment: string;
  channels: Channel[];
  outside_envelope: { ahead: boolean; text: string }[];
}

interface Said {
  kind: "note" | "notice" | "call";
  what?: string;
  moment?: string;
  text: string;
}

const standing = signal<Standing | null>(null);
const reports = signal<Report[]>([]);
const said = signal<Said[]>([]);

/** how many reports are shown at the most */
const most = 1500;

let stream: EventSource | null = null;
let of = "";

function hear(name: string): void {
  stream?.close();
  of = name;
  standing.value = null;
  reports.value = [];
  said.value = [];
  const s = new EventSource(`/api/trial/following?name=${encodeURIComponent(name)}`);
  stream = s;
  let begun = false;
  const data = <T,>(e: Event) => JSON.parse((e as MessageEvent<string>).data) as T;
  s.onopen = () => {
    if (begun) {
      reports.value = []; // joined anew: it is told from its beginning
      said.value = [];
    }
    begun = true;
  };
  s.addEventListener("standing", (e) => {
    const was = standing.value?.state;
    standing.value = data<Standing>(e);
    if (standing.value.state === "computing") return;
    s.close(); // nothing more comes; the browser would ask again
    if (was === "computing") void load();
  });
  s.addEventListener("report", (e) => {
    const r = data<Report>(e);
    const last = reports.value.at(-1);
    const before = last !== undefined && last.at_s === r.at_s ? reports.value.slice(0, -1) : reports.value;
    reports.value = [...(before.length >= most ? before.filter((_, i) => i % 2 === 0) : before), r];
  });
  s.addEventListener("said", (e) => {
    said.value = [...said.value.slice(-200), data<Said>(e)];
  });
}

async function start(name: string): Promise<void> {
  if ((await tried(ask("trial/follow", { name }, { method: "POST" }))) !== undefined) hear(name);
}

export function Following({ name }: { name: string }) {
  useEffect(() => {
    if (of !== name) hear(name);
    return () => {
      stream?.close();
      stream = null;
      of = "";
    };
  }, [name]);
  const now = reports.value.at(-1);
  const on = standing.value?.state === "computing";
  const calls = said.value.filter((s) => s.kind === "call");
  const others = said.value.filter((s) => s.kind !== "call");
  return (
    <section class="following" aria-label="While it runs">
      <h2>
        While it runs{" "}
        {on ? (
          <button type="button" onClick={() => void tried(ask("trial/follow/stop", { name }, { method: "POST" }))}>
            end it, with its report
          </button>
        ) : (
          <button type="button" onClick={() => void start(name)}>
            follow it
          </button>
        )}
      </h2>
      {standing.value?.state === "failed" && <p class="mistake">{standing.value.message}</p>}
      <Findings problems={standing.value?.problems ?? []} />
      {standing.value?.results !== undefined && <p class="note">It has ended; its report stands in {standing.value.results}.</p>}
      {on && now === undefined && <p>Waiting for rows: the loggers' files are looked at each second.</p>}
      {now !== undefined && <Now now={now} all={reports.value} />}
      {now?.outside_envelope.map((o) => (
        <p key={o.text} class="doubtful">
          {o.ahead ? "If nothing is changed the model will leave the range in which it was trusted: " : "The model is outside the range in which it was trusted: "}
          {o.text}
        </p>
      ))}
      {calls.length > 0 && (
        <ol class="calls" aria-live="polite" aria-label="Calls">
          {calls.slice(-8).map((c, i) => (
            <li key={`${c.moment}${c.text}${i}`} class={c.what === "near" || c.what === "passed" ? "sign" : undefined}>
              <span class="moment">{c.moment}</span> {c.text}
            </li>
          ))}
        </ol>
      )}
      {others.length > 0 && (
        <details class="note">
          <summary>{others.length === 1 ? "one note" : `${others.length} notes`} of files, clocks and the model</summary>
          {others.map((o, i) => (
            <p key={i}>
              {o.moment} {o.text}
            </p>
          ))}
        </details>
      )}
    </section>
  );
}

function Now({ now, all }: { now: Report; all: Report[] }) {
  const predicted = now.channels.some((c) => c.predicted !== null);
  return (
    <table class="heats now-of">
      <caption>
        At {now.moment} <small>{predicted ? "open marks: measured; line and tint: predicted, with 95\u00a0%" : "open marks: measured"}</small>
      </caption>
      <thead>
        <tr>
          <td />
          <th scope="col">reads</th>
          <th scope="col">each min</th>
          <th scope="col">predicted</th>
          <th scope="col">since it is followed</th>
          <th scope="col">what is waited for</th>
        </tr>
      </thead>
      <tbody>
        {now.channels.map((c) => (
          <tr key={c.name} class={c.departed || c.lost || c.standing_still ? "doubt" : undefined}>
            <th scope="row">{c.name}</th>
            <td>
              {shown(c.value, c.unit)}
              {c.age_s !== null && c.age_s > 15 && <small> {span(c.age_s)} old</small>}
              {c.lost && <small> lost</small>}
              {c.standing_still && <small> stands still</small>}
            </td>
            <td>{c.unit === "degC" && c.rate_per_s !== null ? `${c.rate_per_s > 0 ? "+" : ""}${fixed(c.rate_per_s * 60, 2)}\u2009K` : ""}</td>
            <td>
              {c.predicted !== null && `${shown(c.predicted, c.unit)}${c.band !== null ? `\u2009±\u2009${c.unit === "degC" ? `${fixed(c.band, 1)}\u2009K` : shown(c.band, c.unit)}` : ""}`}
              {c.departed && <small> departs</small>}
            </td>
            <td>
              <Since name={c.name} all={all} />
            </td>
            <td class="targets">
              {c.targets?.map((t) => (
                <div key={t.reaches}>
                  {shown(t.reaches, c.unit)}: {t.reached ? "reached" : t.left_s === null ? "not known yet" : `in ${span(t.left_s)}${t.lower_s !== null && t.upper_s !== null ? ` (${span(t.lower_s)} to ${span(t.upper_s)})` : ""}`}
                </div>
              ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const wide = 240;
const tall = 34;

/** Since draws a channel's readings and what was predicted for them, report by report. */
function Since({ name, all }: { name: string; all: Report[] }) {
  const rows = all.flatMap((r) => r.channels.filter((c) => c.name === name && c.at_s !== null));
  if (rows.length < 2) return <small>as rows come</small>;
  const time = rows.map((c) => c.at_s!);
  const reach = rows.flatMap((c) => [c.value, c.predicted === null ? null : c.predicted - (c.band ?? 0), c.predicted === null ? null : c.predicted + (c.band ?? 0)]).filter((v): v is number => v !== null);
  const low = Math.min(...reach);
  const high = Math.max(...reach, low + 1e-9);
  const x = (s: number) => 3 + ((wide - 6) * (s - time[0]!)) / Math.max(time.at(-1)! - time[0]!, 1e-9);
  const y = (v: number) => tall - 4 - ((tall - 8) * (v - low)) / (high - low);
  const told = rows.filter((c) => c.predicted !== null);
  const edge = (sign: number) => told.map((c) => `${x(c.at_s!).toFixed(1)} ${y(c.predicted! + sign * (c.band ?? 0)).toFixed(1)}`);
  return (
    <svg class="measured" width={wide} height={tall} viewBox={`0 0 ${wide} ${tall}`} role="img" aria-label={`${name}: measured and predicted since it is followed`}>
      {told.length > 1 && <path class="band" d={`M${[...edge(1), ...edge(-1).reverse()].join("L")}Z`} />}
      {told.length > 1 && <path class="line" d={`M${edge(0).join("L")}`} />}
      <g class="mark">
        <path
          d={
            drawn(
              marksOf(
                time,
                rows.map((c) => c.value),
                x,
                y,
                8,
              ),
              0,
            ).marks
          }
        />
      </g>
    </svg>
  );
}
