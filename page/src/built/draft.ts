// A new study as it is filled in: how what is pointed at is varied, what is read off each variant, and what becomes of it.
import type { Field } from "../sheet/fields";
import { fixed } from "../sheet/numbers";
import { bench } from "../sheet/state";
import { type Kind, type NewStudy, short, studies } from "./studies";

export interface Axis {
  input: string;
  from: string;
  to: string;
  count: string;
  ratio: boolean;
  /** of a sample: a value with its ±, in the place of a range */
  about: string;
}

export interface Read {
  how: string;
  of: string;
  above: string;
  below: string;
  /** of a search */
  want: "" | "most" | "least";
}

export interface Draft {
  kind: Kind;
  axes: Axis[];
  responses: Read[];
  /** of draws, or of variants at the most */
  count: string;
  sensitivity: boolean;
  margin: string;
  title: string;
}

export const noAxis: Axis = { input: "", from: "", to: "", count: "6", ratio: false, about: "" };
export const noRead: Read = { how: "at the end", of: "", above: "", below: "", want: "" };
export const empty: Draft = { kind: "sweep", axes: [noAxis], responses: [{ ...noRead, of: "block mean" }], count: "32", sensitivity: false, margin: "", title: "" };

/** varied tells whether a place can be an axis of numbers. */
export const varied = (f: Field) => f.given && (f.kind === "quantity" || f.kind === "count") && f.input !== "" && /^(receiver|duty)\./.test(f.input);

/** plain is a path as a person would say it. */
export const plain = (input: string) => input.replace(/^(receiver|duty)\./, "").replaceAll(".", " ").replace(/\[(\d+)\]/g, " $1");

/** around suggests a range about what a file holds: half of it to twice as much, in its unit; and the value with its ±, where it has one. */
export function around(f: Field): { from: string; to: string; about: string } {
  const m = /^\s*([-+0-9.eE]+)\s*(.*?)\s*(±.*)?$/.exec(f.text ?? "");
  const x = Number(m?.[1]);
  if (m === null || !Number.isFinite(x)) return { from: "", to: "", about: "" };
  const unit = (f.text ?? "").replace(/^[-+0-9.eE\s]+(±\s*[0-9.eE]+)?\s*/, "").replace(/\s*±.*/, "");
  const text = (v: number) => `${Number(v.toPrecision(3))}${unit === "" ? "" : ` ${unit}`}`;
  return { from: text(x / 2), to: text(x * 2), about: f.text?.includes("±") === true ? f.text : "" };
}

const filledOf = (d: Draft) => d.axes.filter((a) => a.input !== "" && ((a.from !== "" && a.to !== "") || (d.kind === "sample" && a.about !== "")));
const readOf = (d: Draft) => d.responses.filter((r) => r.of !== "");

/** countsOf are how many values each axis has, or how many draws or variants there are; null: one of them cannot be taken. */
function countsOf(d: Draft): number[] | null {
  const counts = (d.kind === "sweep" ? filledOf(d).map((a) => a.count) : [d.count]).map((text) => Math.round(Number(text)));
  return counts.every((c) => c >= 2 && c <= 1e6) ? counts : null;
}

/** study is what was filled in, as the server takes it; null: something is lacking. */
export function study(d: Draft, run: string): NewStudy | null {
  const [filled, read, counts] = [filledOf(d), readOf(d), countsOf(d)];
  if (filled.length === 0 || read.length === 0 || counts === null) return null;
  const names = unique(filled.map((a) => plain(a.input)));
  const said = read.map((r) => (r.how === "at the end" ? r.of : `${r.how} ${r.of}`));
  const called = unique(said.map((s) => s.replace(/^ledger /, "")));
  const aims = read.flatMap((r, i) => (r.want === "" ? [] : [{ response: called[i]!, want: r.want }]));
  if (d.kind === "search" && aims.length === 0) return null;
  const over = `${called[0]} over ${names.join(" and ")}`;
  const name = d.title.trim() !== "" ? d.title.trim() : { sweep: over, sample: `scatter of ${called[0]}`, search: `best ${aims[0]?.response}` }[d.kind];
  return {
    file: freeName(name),
    name,
    run,
    kind: d.kind,
    axes: filled.map((a, i) => ({
      name: names[i]!,
      paths: [a.input],
      ...(d.kind === "sample" && a.about !== "" ? { about: a.about } : { from: a.from, to: a.to }),
      ...(d.kind === "sweep" && { count: counts[i]! }),
      ...(d.kind !== "sample" && { ratio: a.ratio }),
    })),
    ...(d.kind !== "sweep" && { count: counts[0]! }),
    ...(d.kind === "sample" && { sensitivity: d.sensitivity }),
    ...(d.kind === "search" && { aims }),
    responses: said.map((s, i) => ({ name: called[i]!, read: s })),
    constraints: read.flatMap((r, i) => (r.above === "" && r.below === "" ? [] : [{ response: called[i]!, ...(r.above !== "" && { above: r.above }), ...(r.below !== "" && { below: r.below }) }])),
    plateaus: d.margin.trim() === "" || d.kind !== "sweep" ? [] : [{ response: called[0]!, over: names[0]!, margin: d.margin.trim() }],
  };
}

/** lacks says what is still to be filled in. */
export function lacks(d: Draft): string {
  if (filledOf(d).length > 0 && readOf(d).length > 0 && countsOf(d) === null) return `say how many ${{ sweep: "values", sample: "draws", search: "variants" }[d.kind]}, 2 to ${fixed(1e6, 0)}`;
  if (d.kind === "search" && d.responses.every((r) => r.of === "" || r.want === "")) return "name what is varied, what is read, and of what the most or the least is wanted";
  return "name what is varied and what is read";
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
