// What did it do? A trial: what its loggers wrote and how that is read, its phases, the heat of each and how well it is known.
import { useEffect, useState } from "preact/hooks";
import { edit } from "../sheet/edits";
import { fields } from "../sheet/fields";
import { Findings } from "../sheet/findings";
import { counted, ended, fixed } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { inUnits } from "../sheet/sentence";
import { tried as asked } from "../sheet/state";
import { look, view } from "../sheet/view";
import { Course, type Stretch } from "./course";
import { Drop } from "./drop";
import { Following } from "./follow";
import { MappingSheet } from "./mapping";
import { Budget, Mended, PhaseTable } from "./phases";
import "./tried.css";
import { begin, chosen, lastGood, list, load, mapping, measured, type Phase, reading, trial, trials } from "./trials";

export const tried: Question = {
  name: "tried",
  asks: "What did it do?",
  says() {
    const n = trials.value?.length;
    if (n === undefined) return "";
    if (n === 0) return "no trial yet";
    const at = trials.value!.indexOf(chosen());
    return at < 0 ? counted(n, "trial", "trials") : `trial ${at + 1} of ${n}`;
  },
  knows: list,
  View: Tried,
};

/** telling is the phase that says most: the drain that gave most, else the last. */
function telling(phases: Phase[]): number {
  let best = -1;
  phases.forEach((p, i) => {
    if (p.kind === "drain" && p.heat_to_the_water && (best < 0 || p.heat_to_the_water.value > phases[best]!.heat_to_the_water!.value)) best = i;
  });
  return best >= 0 ? best : phases.length - 1;
}

function sentence(): string {
  const t = trial.value;
  if (trials.value?.length === 0) return "Nothing was measured yet.";
  if (reading.value !== "" && t === null) return `Reading ${reading.value}.`;
  if (t === null) return "";
  if (t.record === null) return "The trial cannot be used as it is described; what stands against it is beside the column.";
  const p = t.heat?.phases[telling(t.heat.phases)];
  if (p !== undefined && p.sentence !== "") return inUnits(ended(p.sentence));
  return `${t.record.name}: ${fixed(t.record.rows, 0)} rows of ${t.record.columns.length} columns.`;
}

function Trials() {
  const all = trials.value ?? [];
  if (all.length === 0) return null;
  return (
    <nav class="trials" aria-label="Trials">
      {all.map((f) => (
        <a
          key={f}
          href={`/tried?trial=${encodeURIComponent(f)}`}
          aria-current={f === chosen() ? "true" : undefined}
          onClick={(e) => {
            e.preventDefault();
            look({ question: "tried", also: { trial: f } });
          }}
        >
          {f.replace(/\.ya?ml$/, "")}
        </a>
      ))}
    </nav>
  );
}

function Tried() {
  begin();
  useEffect(() => {
    if (trials.value === null) void load();
  }, []);
  const t = trial.value;
  const m = mapping.value;
  const none = trials.value?.length === 0;
  return (
    <div class="tried">
      <p class="sentence">{sentence()}</p>
      <Trials />
      {lastGood.value !== "" && t !== null && (
        <section aria-label="Mistakes in the files">
          <p class="before">The files hold mistakes. The phases and heats shown are of {lastGood.value}, before them.</p>
          <Findings problems={t.problems} />
        </section>
      )}
      {t !== null && t.heat !== null && measured.value !== null && <Heats />}
      {t !== null && t.heat === null && t.notes.map((n) => <p key={n}>{n}</p>)}
      {m !== null && <MappingSheet m={m} />}
      {chosen() !== "" && <Following name={chosen()} />}
      {t?.record && <Mended repairs={t.record.repairs} />}
      {t?.record && t.record.warnings.length > 0 && <Doubts list={t.record.warnings} />}
      {t !== null && t.record === null && m === null && <Findings problems={t.problems} />}
      {trials.value !== null && <Drop whole={none === true} />}
      {m !== null && <p class="foot">What is blue stands in {m.trial} and may be changed here or there; a guess is one until somebody keeps it. The loggers' files are read, never written.</p>}
    </div>
  );
}

function Doubts({ list }: { list: string[] }) {
  return (
    <section class="mended" aria-label="Doubts">
      <h2>Doubts</h2>
      {list.map((w) => (
        <p key={w}>{w}</p>
      ))}
    </section>
  );
}

/** Heats are the phases on the curve and their heats; a border that is moved is written into the trial's description. */
function Heats() {
  const t = trial.value!;
  const found = t.heat!.phases;
  const [moved, setMoved] = useState<Stretch[] | null>(null);
  const [said, setSaid] = useState("");
  useEffect(() => setMoved(null), [t]);
  const phases: Stretch[] = moved ?? found;
  const selected = Math.min(found.length - 1, Number(view.value.also["phase"] ?? telling(found)));
  const choose = (i: number) => look({ also: { ...view.value.also, phase: String(i) } });
  const write = async (to: Stretch[] | null) => {
    const f = await asked(fields(t.trial));
    if (f === undefined) return;
    const text = to === null ? null : `[${to.map((p) => `{kind: ${p.kind}, from: ${seconds(p.from_s)}, to: ${seconds(p.to_s)}}`).join(", ")}]`;
    const got = await edit(f, "phases", text);
    setSaid(got === undefined || got.written ? "" : got.problems.map((p) => p.message).join("; "));
    if (got === undefined || !got.written) setMoved(null);
  };
  const move = (border: number, to: number, settled: boolean) => {
    const next = phases.map((p) => ({ kind: p.kind, from_s: p.from_s, to_s: p.to_s }));
    const [a, b] = [next[border]!, next[border + 1]!];
    const room = 3 * (t.record?.interval_s ?? 1);
    const at = Math.max(a.from_s + room, Math.min(b.to_s - room, to));
    a.to_s = b.from_s = at;
    setMoved(next);
    if (settled) void write(next);
  };
  return (
    <section class="measuredpart" aria-label="Phases and heat">
      <Course t={t} h={measured.value!} phases={phases} selected={selected} choose={choose} move={move} />
      <p class="hand">
        {t.phases_by_hand ? "The phases are set by hand in the description. " : "The phases are found from the readings. "}
        {t.phases_by_hand ? (
          <button type="button" onClick={() => void write(null)}>
            find them again
          </button>
        ) : (
          <span class="pen">Blue borders can be moved, by the mouse or by arrow keys.</span>
        )}
        {said !== "" && <span class="mistake"> {said}</span>}
      </p>
      {t.heat!.suspicions.map((s) => (
        <p key={s} class="doubtful">
          {inUnits(s)}
        </p>
      ))}
      {t.heat!.drying?.found === true && <p class="doubtful">{inUnits(t.heat!.drying.sentence)}</p>}
      <div class="books">
        <PhaseTable phases={found} selected={selected} choose={choose} />
        <Budget t={t} selected={selected} told={selected === telling(found)} />
      </div>
      {[...t.notes, ...t.heat!.notes].map((n) => (
        <p key={n} class="note">
          {n}
        </p>
      ))}
    </section>
  );
}

/** seconds writes a moment as the description does. */
const seconds = (s: number) => `${Math.round(s * 10) / 10} s`;
