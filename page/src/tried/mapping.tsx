// What did the logger write? Each column with what it holds, how it is read, and how sure that is. What is blue can be changed:
// it is a guess until somebody keeps it, and stands in the trial's description.
import { useState } from "preact/hooks";
import type { Problem } from "../sheet/bench";
import { edit } from "../sheet/edits";
import { fields } from "../sheet/fields";
import { Findings } from "../sheet/findings";
import { clock, fixed, span } from "../sheet/numbers";
import { tried } from "../sheet/state";
import { marksOf } from "./marks";
import type { Held, Mapping } from "./trials";

const own = "a name of its own";
const out = "left out";

/** places are what a column may be, by what it goes with. */
function places(m: Mapping, c: Held): [string, string[]][] {
  const circuits = m.circuits.length > 0 ? m.circuits : ["main"];
  const names = new Set([c.guess.place, ...c.guess.also, plain(c.heading)].filter((s) => s !== "" && !/^(circuit|heater) |^(ambient|wind|source|lamp power|light|irradiance)$/.test(s)));
  return [
    ["in or on the receiver", [...names, own]],
    ["the water", circuits.flatMap((k) => ["inlet", "outlet", "flow", "pressure", "pressure drop"].map((w) => `circuit ${k} ${w}`))],
    ["what heats", ["lamp power", "light", "irradiance", "source", ...m.heaters.map((k) => `heater ${k} power`)]],
    ["around", ["ambient", "wind"]],
  ];
}

/** plain is a heading without its unit. */
const plain = (heading: string) => heading.replace(/\s*[[(].*$/, "").trim();

export function MappingSheet({ m }: { m: Mapping }) {
  return (
    <section class="mapping" aria-label="What did the logger write?">
      <h2>What did the logger write?</h2>
      <Findings problems={m.problems.filter((p) => p.warning !== true)} />
      {m.loggers.map((l, i) => (
        <table key={l.file}>
          <caption>
            {l.file}{" "}
            <small>
              {fixed(l.rows, 0)} rows, one each {span(l.interval_s)}; {l.clock}
              {l.clock_sure !== "" && `: ${l.clock_sure}`}
            </small>
          </caption>
          <thead>
            <tr>
              <th scope="col">as the file says</th>
              <th scope="col">
                what it holds <small>{clock(l.length_s)}&nbsp;h</small>
              </th>
              <th scope="col">read as</th>
              <th scope="col">unit</th>
              <th scope="col">known to</th>
              <th scope="col">how sure, and why</th>
            </tr>
          </thead>
          <tbody>
            {l.problems.length > 0 && (
              <tr>
                <td colSpan={6}>
                  <Findings problems={l.problems} />
                </td>
              </tr>
            )}
            {l.columns.map((c) => (
              <Row key={c.number} m={m} c={c} logger={i + 1} length={l.length_s} />
            ))}
          </tbody>
        </table>
      ))}
    </section>
  );
}

/** sure says how sure a reading is: what check says against it counts first, then whether it is the guess. */
function sure(c: Held): { word: string; why: string; doubt: boolean } {
  const read = c.channels[0]?.place;
  const { place, also, why, sure } = c.guess;
  if (c.problems.length > 0) return { word: "in doubt", why: "", doubt: true };
  if (read === undefined) return place === "" ? { word: out, why: [why, c.guess.hint ?? ""].filter((s) => s !== "").join("; "), doubt: false } : { word: out, why: `by hand; it seems to be ${place}: ${why}`, doubt: false };
  if (read === place || also.includes(read)) return { word: sure, why, doubt: sure === "guess" };
  if (place === "") return { word: "by hand", why, doubt: false };
  const means = /^(circuit|heater) |^(ambient|wind|source|lamp power|light|irradiance)$/;
  if (!means.test(read) && !means.test(place)) return { word: sure, why: `${why}; named by hand`, doubt: sure === "guess" };
  return { word: "by hand", why: `guessed was ${place}: ${why}`, doubt: false };
}

function Row({ m, c, logger, length }: { m: Mapping; c: Held; logger: number; length: number }) {
  const [naming, setNaming] = useState(false);
  const [refused, setRefused] = useState<Problem[]>([]);
  const ch = c.channels[0];
  const s = sure(c);
  const wrong = [...c.problems, ...refused];
  const change = async (path: string, text: string | null) => {
    const file = await tried(fields(m.trial));
    if (file === undefined) return;
    const got = await edit({ ...file, mark: m.mark }, path, text); // the path is of the description as it is shown
    setRefused(got && !got.written ? got.problems : []);
  };
  const place = (to: string) => {
    if (to === own) {
      setNaming(true);
      return;
    }
    setNaming(false);
    if (to === out && ch !== undefined) void change(ch.path, null);
    else if (to !== out && ch === undefined) void change(`loggers[${logger}].channels[+]`, `{column: ${c.number}, place: ${JSON.stringify(to)}}`);
    else if (to !== out && ch !== undefined && to !== ch.place) void change(`${ch.path}.place`, to);
  };
  const groups = places(m, c);
  const now = ch?.place ?? out;
  const known = groups.some(([, g]) => g.includes(now)) || now === out;
  return (
    <tr class={s.doubt ? "doubt" : ch === undefined ? "out" : undefined}>
      <th scope="row">
        {c.heading === "" ? `column ${c.number}` : c.heading}
        <small>column {c.number}</small>
      </th>
      <td>
        <Sparks c={c} length={length} />
      </td>
      <td class="read">
        {naming ? (
          <input
            type="text"
            aria-label={`a name for ${c.heading}`}
            value={ch?.place ?? plain(c.heading)}
            autoFocus
            onBlur={() => setNaming(false)}
            onKeyDown={(e) => {
              if (e.key === "Enter") place((e.target as HTMLInputElement).value.trim());
              else if (e.key === "Escape") setNaming(false);
            }}
          />
        ) : (
          <select aria-label={`${c.heading} is read as`} value={now} onChange={(e) => place((e.target as HTMLSelectElement).value)}>
            {!known && <option value={now}>{now}</option>}
            <option value={out}>{out}</option>
            {groups.map(([name, g]) => (
              <optgroup key={name} label={name}>
                {g.map((p) => (
                  <option key={p} value={p}>
                    {p}
                  </option>
                ))}
              </optgroup>
            ))}
          </select>
        )}
        {ch !== undefined && ch.as !== "" && ch.as !== ch.place && <small>{ch.as}</small>}
      </td>
      <td>{ch !== undefined && <Typed label={`unit of ${c.heading}`} value={ch.unit} none={c.unit === "" ? "none" : "as headed"} put={(v) => change(`${ch.path}.unit`, v)} given={ch.unit !== ""} />}</td>
      <td>
        {ch !== undefined &&
          (/couple|class|calibrated/.test(ch.known) ? (
            <span class="pen">{ch.known}</span>
          ) : (
            <Typed label={`uncertainty of ${c.heading}, half-width at 95 %`} value={ch.known.replace(/^± /, "")} none="not said" before="±" put={(v) => change(`${ch.path}.uncertainty`, v)} given={ch.known !== ""} />
          ))}
      </td>
      <td class="why">
        <b>{s.word}</b> {s.why}
        <Findings problems={wrong} />
      </td>
    </tr>
  );
}

/** Typed is a value in the blue pen that opens where it stands. */
function Typed({ label, value, none, before, put, given }: { label: string; value: string; none: string; before?: string; put: (v: string | null) => Promise<void>; given: boolean }) {
  const keep = (to: string) => {
    if (to === value) return;
    void put(to === "" ? (given ? null : "") : to);
  };
  return (
    <label class="typed">
      {before !== undefined && <span aria-hidden="true">{before}</span>}
      <input
        type="text"
        aria-label={label}
        value={value}
        placeholder={none}
        size={8}
        onChange={(e) => keep((e.target as HTMLInputElement).value.trim())}
        onKeyDown={(e) => {
          if (e.key === "Enter") (e.target as HTMLInputElement).blur();
        }}
      />
    </label>
  );
}

const wide = 250;
const tall = 30;

/** Sparks are a column's readings as they stand in the file. */
function Sparks({ c, length }: { c: Held; length: number }) {
  const v = c.values.filter((v): v is number => v !== null);
  if (v.length === 0) return <small>no reading</small>;
  const low = Math.min(...v);
  const high = Math.max(...v);
  const room = high > low ? high - low : 1;
  const x = (s: number) => 46 + ((wide - 48) * s) / Math.max(length, 1);
  const y = (u: number) => tall - 5 - ((tall - 10) * (u - low)) / room;
  const marks = marksOf(c.time_s, c.values, x, y, 3);
  const digits = room >= 20 ? 0 : room >= 2 ? 1 : room >= 0.02 ? 3 : 5;
  const d = marks.map((m) => `M${m.x.toFixed(1)} ${m.top.toFixed(1)}V${Math.max(m.foot, m.top + 0.9).toFixed(1)}`).join("");
  return (
    <svg class="sparks" width={wide} height={tall} role="img" aria-label={`from ${fixed(low, digits)} to ${fixed(high, digits)} ${c.unit}`}>
      <text class="tick" x={40} y={10} text-anchor="end">
        {fixed(high, digits)}
      </text>
      {high > low && (
        <text class="tick" x={40} y={tall - 1} text-anchor="end">
          {fixed(low, digits)}
        </text>
      )}
      <path d={`M45 ${tall - 0.5}H${wide}`} class="base" />
      <path d={d} class="dots" />
    </svg>
  );
}
