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
import { load, make, type Made, type NewStudy, readings, short, studies } from "./studies";

interface Axis {
  input: string;
  from: string;
  to: string;
  count: string;
  ratio: boolean;
}

interface Read {
  how: string;
  of: string;
  above: string;
  below: string;
}

const noAxis: Axis = { input: "", from: "", to: "", count: "6", ratio: false };
const ways = ["at the end", "mean of", "largest", "least"] as const;

/** varied tells whether a place can be an axis of numbers. */
const varied = (f: Field) => f.given && (f.kind === "quantity" || f.kind === "count") && f.input !== "" && /^(receiver|duty)\./.test(f.input);

/** plain is a path as a person would say it. */
const plain = (input: string) => input.replace(/^(receiver|duty)\./, "").replaceAll(".", " ").replace(/\[(\d+)\]/g, " $1");

/** around suggests a range about what a file holds: half of it to twice as much, in its unit. */
function around(f: Field): { from: string; to: string } {
  const m = /^\s*([-+0-9.eE]+)\s*(.*?)\s*(±.*)?$/.exec(f.text ?? "");
  const x = Number(m?.[1]);
  if (m === null || !Number.isFinite(x)) return { from: "", to: "" };
  const unit = (m[2] ?? "").replace(/^±.*/, "");
  const text = (v: number) => `${Number(v.toPrecision(3))}${unit === "" ? "" : ` ${unit}`}`;
  return { from: text(x / 2), to: text(x * 2) };
}

export function Setup() {
  const of = runName.value.includes("#") ? (bench.value?.runs[0] ?? "") : runName.value; // a variant is no file to vary
  const [fields, setFields] = useState<Field[]>([]);
  const [reads, setReads] = useState<{ read: string; what: string; unit: string }[]>([]);
  const [axes, setAxes] = useState<Axis[]>([noAxis]);
  const [responses, setResponses] = useState<Read[]>([{ how: "at the end", of: "block mean", above: "", below: "" }]);
  const [margin, setMargin] = useState("");
  const [title, setTitle] = useState("");
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
  const asked = study(axes, responses, margin, title, of, fields);
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
        {run.value?.drawn === true && <Section time={0} />}
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
          {axes.map((a, i) => (
            <AxisRow key={i} n={i} axis={a} fields={fields} change={(c) => setAxes(axes.map((x, k) => (k === i ? { ...x, ...c } : x)))} />
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
            <ReadRow key={i} n={i} read={r} reads={reads} change={(c) => setResponses(responses.map((x, k) => (k === i ? { ...x, ...c } : x)))} />
          ))}
          <datalist id="readings">
            {reads.map((r) => (
              <option key={r.read} value={r.read} />
            ))}
          </datalist>
          {responses.length < 6 && (
            <button type="button" onClick={() => setResponses([...responses, { how: "at the end", of: "", above: "", below: "" }])}>
              and another
            </button>
          )}
        </fieldset>
        <fieldset>
          <legend>Ask</legend>
          <label>
            does more still help? A change of{" "}
            <input class="quantity" value={margin} placeholder="5 K" onInput={(e) => setMargin((e.target as HTMLInputElement).value)} /> in the first no longer matters
          </label>
        </fieldset>
        <fieldset>
          <legend>Call it</legend>
          <input class="wide" value={title} placeholder={asked?.name ?? "a name"} aria-label="Name of the study" onInput={(e) => setTitle((e.target as HTMLInputElement).value)} />
        </fieldset>
        <Findings problems={wrong} />
        <p class="verbs">
          <button type="submit" disabled={made === null || wrong.some((p) => p.warning !== true)}>
            write the study
          </button>
          <span role="status" class="small">
            {asked === null ? "name what is varied and what is read" : made !== null && made.count > 0 ? `${fixed(made.count, 0)} variants, as ${asked.file}` : ""}
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

function AxisRow({ n, axis, fields, change }: { n: number; axis: Axis; fields: Field[]; change: (c: Partial<Axis>) => void }) {
  const f = fields.find((x) => x.input === axis.input);
  const typed = (key: "from" | "to" | "count") => (e: Event) => change({ [key]: (e.target as HTMLInputElement).value });
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
        from <input class="quantity" value={axis.from} onInput={typed("from")} />
      </label>
      <label>
        to <input class="quantity" value={axis.to} onInput={typed("to")} />
      </label>
      <label>
        <input class="count" inputMode="numeric" value={axis.count} onInput={typed("count")} /> values
      </label>
      <label>
        <input type="checkbox" checked={axis.ratio} onChange={(e) => change({ ratio: (e.target as HTMLInputElement).checked })} /> by equal ratio
      </label>
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

function ReadRow({ n, read, reads, change }: { n: number; read: Read; reads: { read: string; what: string; unit: string }[]; change: (c: Partial<Read>) => void }) {
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
      <label>
        at least <input class="quantity" value={read.above} onInput={typed("above")} />
      </label>
      <label>
        at most <input class="quantity" value={read.below} onInput={typed("below")} />
      </label>
    </div>
  );
}

/** study is what was filled in, as the server takes it; null: something is lacking. */
function study(axes: Axis[], responses: Read[], margin: string, title: string, run: string, fields: Field[]): NewStudy | null {
  const filled = axes.filter((a) => a.input !== "" && a.from !== "" && a.to !== "");
  const read = responses.filter((r) => r.of !== "");
  if (filled.length === 0 || read.length === 0) return null;
  const counts = filled.map((a) => Math.round(Number(a.count)));
  if (counts.some((c) => !(c >= 2 && c <= 1e6))) return null;
  const names = unique(filled.map((a) => plain(a.input)));
  const said = read.map((r) => (r.how === "at the end" ? r.of : `${r.how} ${r.of}`));
  const called = unique(said.map((s) => s.replace(/^ledger /, "")));
  const name = title.trim() !== "" ? title.trim() : `${called[0]} over ${names.join(" and ")}`;
  return {
    file: freeName(name),
    name,
    run,
    axes: filled.map((a, i) => ({ name: names[i]!, paths: [a.input], from: a.from, to: a.to, count: counts[i]!, ratio: a.ratio })),
    responses: said.map((s, i) => ({ name: called[i]!, read: s })),
    constraints: read.flatMap((r, i) => (r.above === "" && r.below === "" ? [] : [{ response: called[i]!, ...(r.above !== "" && { above: r.above }), ...(r.below !== "" && { below: r.below }) }])),
    plateaus: margin.trim() === "" || fields.length === 0 ? [] : [{ response: called[0]!, over: names[0]!, margin: margin.trim() }],
  };
}

function unique(names: string[]): string[] {
  return names.map((n, i) => (names.indexOf(n) === i ? n : `${n} ${short(i + 1)}`));
}

/** freeName makes a file's name of the study's that is not taken. */
function freeName(name: string): string {
  const stem = `study-${name.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60)}`;
  const taken = new Set([...(bench.value?.files ?? []), ...(studies.value ?? []).map((s) => s.name)]);
  let file = `${stem}.yaml`;
  for (let n = 2; taken.has(file); n++) file = `${stem}-${n}.yaml`;
  return file;
}
