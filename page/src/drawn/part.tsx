// The rows of a part that is open: each value with its name, its range and what it means; below them what could be stated besides.
import { useState } from "preact/hooks";
import { edit, placed } from "../sheet/edits";
import { type Field, type FileFields, inside, nested, short } from "../sheet/fields";
import { Finding } from "../sheet/findings";
import { revisionOf } from "../sheet/revisions";
import { run } from "../sheet/state";
import { look, view } from "../sheet/view";
import { Value } from "./value";

export function Triangle({ input }: { input: string }) {
  const n = revisionOf(input);
  return n === 0 ? null : (
    <span class="triangle" title={`revision ${n}`}>
      <span aria-hidden="true">△</span>
      {n}
      <span class="heard"> revision</span>
    </span>
  );
}

/** Doubts shows what check says of a field that stands. */
function Doubts({ file, field }: { file: FileFields; field: Field }) {
  const told = (run.value?.problems ?? []).filter((p) => p.file === file.name && p.field === field.path);
  return told.length === 0 ? null : (
    <div class={told.some((p) => p.warning !== true) ? "told" : "told doubted"}>
      {told.map((p, i) => (
        <p key={i}>
          <Finding p={p} />
        </p>
      ))}
    </div>
  );
}

function Meaning({ field }: { field: Field }) {
  return (
    <span class="means">
      {field.meaning}
      {!field.given && field.absent !== undefined && <> Without it: {field.absent}.</>}
      {field.comment !== undefined && <> <i>— {field.comment}</i></>}
    </span>
  );
}

function Leaf({ file, field, out }: { file: FileFields; field: Field; out: boolean }) {
  return (
    <div class="leaf">
      <span class="name">
        <Triangle input={field.input} />
        {field.key}
      </span>
      <Value file={file} field={field} beside={out ? <Out file={file} field={field} /> : null} />
      <span class="range">{field.allowed}</span>
      <Meaning field={field} />
      <Doubts file={file} field={field} />
    </div>
  );
}

function Out({ file, field }: { file: FileFields; field: Field }) {
  return (
    <button class="out" aria-label={`take ${field.path} out`} title="take it out of the file" onClick={() => void edit(file, field.path, null)}>
      take out
    </button>
  );
}

/** Rows are what stands in a part, and what could. */
export function Rows({ file, of, deep = 0 }: { file: FileFields; of: Field | null; deep?: number }) {
  const all = inside(file, of);
  const entries = of?.kind === "list";
  return (
    <div class="rows-of" data-deep={deep}>
      {all
        .filter((f) => f.given)
        .map((f) => {
          if (!nested(f) || short(file, f)) return <Leaf key={f.path} file={file} field={f} out={entries || !(f.needed ?? false)} />;
          return (
            <div key={f.path} class="branch">
              <p class="branchhead">
                <Triangle input={f.input} />
                <b>{f.key.replace(/^\[(\d+)\]$/, `${of?.key ?? ""} $1`)}</b>
                <Meaning field={f} />
                {(entries || !(f.needed ?? false)) && <Out file={file} field={f} />}
              </p>
              <Rows file={file} of={f} deep={deep + 1} />
            </div>
          );
        })}
      {entries && of !== null && <More file={file} list={of} />}
      <Absent file={file} fields={all.filter((f) => !f.given)} />
    </div>
  );
}

/** More adds an entry to a list; it begins as an example to be changed. */
function More({ file, list }: { file: FileFields; list: Field }) {
  const [wrong, setWrong] = useState("");
  if (list.entry === undefined || list.entry === "") return null;
  return (
    <p class="absent">
      <button
        onClick={() =>
          void edit(file, `${list.path}[+]`, lastEntry(file, list)).then((got) => {
            setWrong(got?.written === false ? got.problems.map((p) => p.message).join("; ") : "");
          })
        }
      >
        one more {list.key.replace(/^\[\d+\]$/, "entry")}
      </button>
      {wrong !== "" && <span class="mistake"> {wrong}</span>}
    </p>
  );
}

/** an entry like the last one where that stands on one line, else the example */
const lastEntry = (file: FileFields, list: Field) => inside(file, list).at(-1)?.text ?? list.entry ?? "";

/** Absent are the keys that could be stated: each opens a field where it stands. */
export function Absent({ file, fields }: { file: FileFields; fields: Field[] }) {
  const [open, setOpen] = useState("");
  const field = fields.find((f) => f.path === open);
  if (fields.length === 0) return null;
  return (
    <div class="absent">
      <p>
        <span>not stated: </span>
        {fields.map((f) => (
          <button key={f.path} aria-expanded={f.path === open} title={f.meaning} onClick={() => setOpen(f.path === open ? "" : f.path)}>
            {f.key}
          </button>
        ))}
      </p>
      {field !== undefined && (
        <div class="leaf">
          <span class="name">{field.key}</span>
          <Value key={field.path} file={file} field={field} focus left={() => setOpen("")} />
          <span class="range">{field.allowed}</span>
          <Meaning field={field} />
        </div>
      )}
    </div>
  );
}

/** show opens the part in which an input stands. */
export function show(input: string): void {
  const at = placed(input);
  if (at !== undefined) look({ question: "drawn", file: "", also: { ...view.value.also, part: input } });
}
