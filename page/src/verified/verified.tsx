// Is the program right? Every row of the outside checks: what is compared, with which source, and how far apart the two are.
import { effect, signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { ask } from "../sheet/ask";
import { goesOn, jobs, stopJob } from "../sheet/jobs";
import { fixed } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { tried } from "../sheet/state";
import { unitOf } from "../sheet/units";
import "./verified.css";

export interface Row {
  name: string;
  topic: string;
  source: string;
  detail: string;
  unit: string;
  expected: string;
  computed: string;
  difference: string;
  tolerance: string;
  agrees: boolean;
  from_run: boolean;
}

interface Checked {
  at?: string;
  rows: Row[];
}

const job = "verify";
const checked = signal<Checked | null>(null);

const load = async () => {
  checked.value = (await tried(ask<Checked>("verify"))) ?? checked.value;
};
const start = () => void tried(ask("verify", {}, { method: "POST" }));

let state = "";
effect(() => {
  const j = jobs.value[job];
  const now = j === undefined ? "" : `${j.turn} ${j.state}`;
  if (now !== state && j?.state === "done") void load();
  state = now;
});

export const verified: Question = { name: "verified", asks: "Is the program right?", says, View: Verified };

function says(): string {
  const j = jobs.value[job];
  if (goesOn(j)) return `${j!.done} of ${j!.total} checks`;
  const rows = checked.value?.rows ?? [];
  return rows.length === 0 ? "checked when asked" : `${rows.filter((r) => r.agrees).length} of ${rows.length} agree`;
}

/** found tells whether a row holds every word that is looked for. */
const found = (r: Row, words: string[]) => {
  const text = `${r.name} ${r.topic} ${r.source} ${r.detail} ${r.unit} ${r.agrees ? "agrees" : "departs"}`.toLowerCase();
  return words.every((w) => text.includes(w));
};

function sentence(rows: Row[]): string {
  const j = jobs.value[job];
  if (goesOn(j)) return j!.total === 0 ? "The outside checks begin." : `${j!.done} of ${j!.total} cases are computed; now ${j!.text ?? ""}.`;
  if (rows.length === 0) return "The program is compared with published tables, exact solutions and standards, here and now.";
  const good = rows.filter((r) => r.agrees).length;
  const away = rows.length - good;
  const topics = new Set(rows.map((r) => r.topic)).size;
  return `${good} of ${rows.length} rows agree with their reference, ${away === 0 ? "none departs" : `${away} depart${away === 1 ? "s" : ""}`}: ${topics} topics, ${rows.filter((r) => r.from_run).length} rows from run files.`;
}

function Verified() {
  const [word, setWord] = useState("");
  useEffect(() => {
    void load();
  }, []);
  const all = checked.value?.rows ?? [];
  const words = word.toLowerCase().split(/\s+/).filter((w) => w !== "");
  const rows = all.filter((r) => found(r, words));
  const topics = [...new Set(rows.map((r) => r.topic))];
  const j = jobs.value[job];
  return (
    <>
      <p class={goesOn(j) ? "sentence unsettled" : "sentence"}>{sentence(all)}</p>
      <p class="verbs verifyverbs">
        {goesOn(j) ? <button onClick={() => void tried(stopJob(job))}>stop</button> : <button onClick={start}>{all.length === 0 ? "check the program" : "check again"}</button>}
        {all.length > 0 && (
          <label>
            with the word <input type="search" value={word} onInput={(e) => setWord((e.target as HTMLInputElement).value)} />
          </label>
        )}
        {words.length > 0 && (
          <span role="status">
            {fixed(rows.length, 0)} of {fixed(all.length, 0)} rows
          </span>
        )}
        {checked.value?.at !== undefined && <span class="small">computed {new Date(checked.value.at).toLocaleString()}, on this machine</span>}
        {j?.state === "stopped" && <span role="status">Stopped before all cases were computed.</span>}
      </p>
      {topics.map((t) => (
        <Topic key={t} topic={t} rows={rows.filter((r) => r.topic === t)} />
      ))}
      {all.length > 0 && rows.length === 0 && <p>No row holds that.</p>}
    </>
  );
}

/** set writes a number of the checks as print has it: a true minus, and powers of ten. */
const set = (number: string) => number.replace(/e([-+]?)0*(\d+)/, (_, sign: string, power: string) => `\u2009·\u200910${[...(sign === "-" ? "-" : "") + power].map((c) => raised[c] ?? c).join("")}`).replaceAll("-", "\u2212");
const raised: Record<string, string> = { "-": "⁻", ...Object.fromEntries([..."⁰¹²³⁴⁵⁶⁷⁸⁹"].map((c, i) => [String(i), c])) };

function Topic({ topic, rows }: { topic: string; rows: Row[] }) {
  return (
    <table class="checked">
      <caption>{topic}</caption>
      <thead>
        <tr>
          <th scope="col">what is compared, and with what</th>
          <th scope="col">reference</th>
          <th scope="col">computed</th>
          <th scope="col">difference</th>
          <th scope="col">may differ by</th>
          <th scope="col">unit</th>
          <th scope="col">verdict</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((r, i) => (
          <tr key={i} class={r.agrees ? undefined : "departs"}>
            <th scope="row">
              {r.name}
              <small>{r.source}</small>
              {!r.agrees && r.detail !== "" && <small>{r.detail}</small>}
            </th>
            <td>{set(r.expected)}</td>
            <td>{set(r.computed)}</td>
            <td>{set(r.difference)}</td>
            <td>{set(r.tolerance)}</td>
            <td class="unit">{unitOf(r.unit)}</td>
            <td class="word">{r.agrees ? "agrees" : "departs"}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
