// A new study: point at what is varied, say from where to where, what is read off each variant and what it has to meet. It is
// checked as it is written, in the words of check, and becomes a file of the bench.
import { useEffect, useState } from "preact/hooks";
import { Section } from "../section/section";
import type { Problem } from "../sheet/bench";
import { type Field, runFields } from "../sheet/fields";
import { Findings } from "../sheet/findings";
import { fixed } from "../sheet/numbers";
import { bench, meet, name as runName, run, tried } from "../sheet/state";
import { look } from "../sheet/view";
import { around, type Axis, type Draft, empty, lacks, noAxis, noRead, plain, type Read, study, varied } from "./draft";
import { type Kind, load, make, type Made, readings } from "./studies";

const ways = ["at the end", "mean of", "largest", "least"] as const;
const kinds: { kind: Kind; says: string }[] = [
  { kind: "sweep", says: "try each" },
  { kind: "sample", says: "draw at random" },
  { kind: "search", says: "find the best" },
];

export function Setup() {
  const of = runName.value.includes("#") ? (bench.value?.runs[0] ?? "") : runName.value; // a variant is no file to vary
  const [fields, setFields] = useState<Field[]>([]);
  const [reads, setReads] = useState<{ read: string; what: string; unit: string }[]>([]);
  const [draft, setDraft] = useState<Draft>(empty);
  const { kind, axes, responses } = draft;
  const fill = (change: Partial<Draft>) => setDraft({ ...draft, ...change });
  const setAxes = (to: Axis[]) => fill({ axes: to });
  const setResponses = (to: Read[]) => fill({ responses: to });
  const [made, setMade] = useState<Made | null>(null);
  const state = run.value?.state;
  useEffect(() => {
    void tried(runFields(of)).then((got) => setFields((got?.files ?? []).flatMap((f) => f.fields).filter(varied)));
  }, [of]);
  useEffect(() => {
    void tried(readings(of)).then((got) => setReads(got?.readings ?? []));
  }, [of, state]);

  const inHand = axes.findIndex((a) => a.input === "");
  const point = (input: string) => {
    const f = fields.find((x) => x.input === input);
    if (f === undefined) return;
    const k = inHand >= 0 ? inHand : axes.length - 1;
    setAxes(axes.map((a, i) => (i === k ? { ...a, input, ...around(f) } : a)));
  };
  const asked = study(draft, of);
  const text = JSON.stringify(asked);
  useEffect(() => {
    if (asked === null) {
      setMade(null);
      return;
    }
    let old = false;
    const t = setTimeout(() => void tried(make({ ...asked, try: true })).then((m) => old || setMade(m ?? null)), 250);
    return () => {
      old = true;
      clearTimeout(t);
    };
  }, [text]);

  const write = async () => {
    if (asked === null) return;
    const m = await tried(make(asked));
    if (m === undefined) return;
    setMade(m);
    if (!m.written) return;
    await Promise.all([load(), meet()]);
    look({ question: "built", also: { study: m.file } });
  };
  const wrong: Problem[] = made?.problems ?? [];
  return (
    <div class="plate builtplate setup">
      <div class="left" onClickCapture={(e) => pointed(e, fields, point)}>
        {run.value !== null && <Section time={0} />}
        <p class="small">A blue dimension is taken as what is varied; the list takes any input of {of}.</p>
      </div>
      <form
        class="right"
        onSubmit={(e) => {
          e.preventDefault();
          void write();
        }}
      >
        <fieldset>
          <legend>Vary</legend>
          <Kinds draft={draft} fill={fill} />
          {axes.map((a, i) => (
            <AxisRow key={i} n={i} kind={kind} axis={a} fields={fields} change={(c) => setAxes(axes.map((x, k) => (k === i ? { ...x, ...c } : x)))} />
          ))}
          <datalist id="inputs">
            {fields.map((f) => (
              <option key={f.input} value={f.input}>
                {`${plain(f.input)}, now ${f.text ?? ""}`}
              </option>
            ))}
          </datalist>
          {inHand < 0 && axes.length < 3 && (
            <button type="button" onClick={() => setAxes([...axes, noAxis])}>
              and something else besides
            </button>
          )}
        </fieldset>
        <fieldset>
          <legend>Read off each variant</legend>
          {responses.map((r, i) => (
            <ReadRow key={i} n={i} kind={kind} read={r} reads={reads} change={(c) => setResponses(responses.map((x, k) => (k === i ? { ...x, ...c } : x)))} />
          ))}
          <datalist id="readings">
            {reads.map((r) => (
              <option key={r.read} value={r.read} />
            ))}
          </datalist>
          {responses.length < 6 && (
            <button type="button" onClick={() => setResponses([...responses, noRead])}>
              and another
            </button>
          )}
        </fieldset>
        {kind === "sweep" && (
          <fieldset>
            <legend>Ask</legend>
            <label>
              does more still help? A change of{" "}
              <input class="quantity" value={draft.margin} placeholder="5 K" onInput={(e) => fill({ margin: (e.target as HTMLInputElement).value })} /> in the first no longer matters
            </label>
          </fieldset>
        )}
        <fieldset>
          <legend>Call it</legend>
          <input class="wide" value={draft.title} placeholder={asked?.name ?? "a name"} aria-label="Name of the study" onInput={(e) => fill({ title: (e.target as HTMLInputElement).value })} />
        </fieldset>
        <Findings problems={wrong} />
        <p class="verbs">
          <button type="submit" disabled={made === null || wrong.some((p) => p.warning !== true)}>
            write the study
          </button>
          <span role="status" class="small">
            {asked === null ? lacks(draft) : made !== null && made.count > 0 ? `${fixed(made.count, 0)} variants, as ${asked.file}` : ""}
          </span>
        </p>
        {made !== null && made.count > 0 && (
          <details>
            <summary>the file</summary>
            <pre>{made.text}</pre>
          </details>
        )}
      </form>
    </div>
  );
}

/** pointed takes a dimension of the drawing as what is varied. */
function pointed(e: MouseEvent, fields: Field[], point: (input: string) => void): void {
  const path = (e.target as Element).closest("[data-path]")?.getAttribute("data-path") ?? "";
  const f = fields.find((x) => x.input === path || x.path === path);
  if (f === undefined) return;
  e.preventDefault();
  e.stopPropagation();
  point(f.input);
}

/** Kinds says how what is pointed at is varied, and how often. */
function Kinds({ draft, fill }: { draft: Draft; fill: (c: Partial<Draft>) => void }) {
  return (
    <div class="row kinds">
      {kinds.map((k) => (
        <label key={k.kind}>
          <input type="radio" name="kind" checked={k.kind === draft.kind} onChange={() => fill({ kind: k.kind })} /> {k.says}
        </label>
      ))}
      {draft.kind !== "sweep" && (
        <label>
          <input class="count" inputMode="numeric" value={draft.count} onInput={(e) => fill({ count: (e.target as HTMLInputElement).value })} /> {draft.kind === "sample" ? "draws" : "variants at the most"}
        </label>
      )}
      {draft.kind === "sample" && (
        <label>
          <input type="checkbox" checked={draft.sensitivity} onChange={(e) => fill({ sensitivity: (e.target as HTMLInputElement).checked })} /> and each input's share of the scatter
        </label>
      )}
    </div>
  );
}

function AxisRow({ n, kind, axis, fields, change }: { n: number; kind: Kind; axis: Axis; fields: Field[]; change: (c: Partial<Axis>) => void }) {
  const f = fields.find((x) => x.input === axis.input);
  const typed = (key: "from" | "to" | "count" | "about") => (e: Event) => change({ [key]: (e.target as HTMLInputElement).value });
  return (
    <div class="row">
      <input
        class="path"
        list="inputs"
        aria-label={`What is varied, ${n + 1}`}
        placeholder="receiver.insulation…"
        value={axis.input}
        onInput={(e) => {
          const input = (e.target as HTMLInputElement).value;
          const now = fields.find((x) => x.input === input);
          change(now === undefined ? { input } : { input, ...around(now) });
        }}
      />
      <label>
        {kind === "sample" ? "between" : "from"} <input class="quantity" value={axis.from} disabled={kind === "sample" && axis.about !== ""} onInput={typed("from")} />
      </label>
      <label>
        {kind === "sample" ? "and" : "to"} <input class="quantity" value={axis.to} disabled={kind === "sample" && axis.about !== ""} onInput={typed("to")} />
      </label>
      {kind === "sample" && (
        <label>
          or about <input class="quantity" placeholder="80 mm ± 5 mm" value={axis.about} onInput={typed("about")} />
        </label>
      )}
      {kind === "sweep" && (
        <label>
          <input class="count" inputMode="numeric" value={axis.count} onInput={typed("count")} /> values
        </label>
      )}
      {kind !== "sample" && (
        <label>
          <input type="checkbox" checked={axis.ratio} onChange={(e) => change({ ratio: (e.target as HTMLInputElement).checked })} /> by equal ratio
        </label>
      )}
      {f !== undefined && (
        <p class="small means">
          {f.meaning?.replace(/\.$/, "")}
          {f.text !== undefined && <>; now {f.text}</>}
          {f.allowed !== undefined && <>; allowed: {f.allowed}</>}
        </p>
      )}
    </div>
  );
}

function ReadRow({ n, kind, read, reads, change }: { n: number; kind: Kind; read: Read; reads: { read: string; what: string; unit: string }[]; change: (c: Partial<Read>) => void }) {
  const column = reads.find((r) => r.read === read.of)?.what === "column";
  const typed = (key: "of" | "above" | "below") => (e: Event) => change({ [key]: (e.target as HTMLInputElement).value });
  return (
    <div class="row">
      <input class="path" list="readings" aria-label={`What is read, ${n + 1}`} placeholder="block mean" value={read.of} onInput={typed("of")} />
      {column && (
        <select aria-label={`How ${read.of} is read`} value={read.how} onChange={(e) => change({ how: (e.target as HTMLSelectElement).value })}>
          {ways.map((w) => (
            <option key={w}>{w}</option>
          ))}
        </select>
      )}
      {kind === "search" && (
        <select aria-label={`What is wanted of ${read.of}`} value={read.want} onChange={(e) => change({ want: (e.target as HTMLSelectElement).value as Read["want"] })}>
          <option value="">no aim</option>
          <option value="most">the most</option>
          <option value="least">the least</option>
        </select>
      )}
      <label>
        at least <input class="quantity" value={read.above} onInput={typed("above")} />
      </label>
      <label>
        at most <input class="quantity" value={read.below} onInput={typed("below")} />
      </label>
    </div>
  );
}
