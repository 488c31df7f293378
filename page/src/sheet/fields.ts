// Single values of the bench's files: what each means, what is allowed, and how one is changed in its file.
import { ask, send } from "./ask";
import type { Problem } from "./bench";

/** One place of a file. Numbers in the SI unit; texts as typed. */
export interface Field {
  /** as messages name it, such as passes[2].depth; entries count from 1 */
  path: string;
  /** as a run's inputs are named, such as receiver.passes[2].depth */
  input: string;
  holder?: string;
  key: string;
  kind: "text" | "word" | "flag" | "count" | "quantity" | "list" | "mapping" | "names" | "unknown";
  given: boolean;
  text?: string;
  meaning?: string;
  allowed?: string;
  words?: string[];
  example?: string;
  /** of a list: an entry to begin with */
  entry?: string;
  quantity?: string;
  unit?: string;
  units?: string[];
  value?: number;
  half?: number;
  least?: number;
  most?: number;
  needed?: boolean;
  /** what holds where it is not stated */
  absent?: string;
  comment?: string;
  above?: string;
  line: number;
  column: number;
}

export interface FileFields {
  name: string;
  kind: string;
  root?: string;
  mark: string;
  fields: Field[];
}

export interface Changed {
  name: string;
  /** false: the new value itself is wrong, and the file is as it was */
  written: boolean;
  mark: string;
  before?: string;
  after?: string;
  problems: Problem[];
}

export interface Change {
  name: string;
  /** with [+] behind a list: one more entry */
  path: string;
  text?: string;
  remove?: boolean;
  mark: string;
}

export const fields = (name: string) => ask<FileFields>("fields", { name });
/** the run's file first, then its receiver and its duty where they are files of their own */
export const runFields = (name: string) => ask<{ files: FileFields[] }>("run/fields", { name });
/** for the page use edit() of edits.ts, which can be undone */
export const changeField = (c: Change) => send<Changed>("PUT", "field", {}, c);

/** inside are the entries of a mapping or a list, or of the file itself. */
export const inside = (file: FileFields, of: Field | null) => file.fields.filter((f) => (f.holder ?? "") === (of?.path ?? "") && f.key !== "schema" && f.key !== "kind");

export const nested = (f: Field) => f.kind === "list" || f.kind === "mapping" || f.kind === "names";

/** short tells that a list is best written on one line: numbers, words or names alone */
export function short(file: FileFields, f: Field): boolean {
  const own = inside(file, f);
  return f.text !== undefined && f.text.length <= 44 && own.every((x) => !nested(x) && f.kind === "list");
}

/** said is what a field says in few words. */
export function said(file: FileFields, f: Field): string {
  if (!nested(f) || (short(file, f) && f.text !== undefined)) return f.text ?? "";
  const own = inside(file, f).filter((x) => x.given);
  if (f.kind === "list") {
    const names = own.map((x) => file.fields.find((n) => n.holder === x.path && n.key === "name")?.text).filter((n) => n !== undefined);
    if (names.length === own.length && own.length > 0) return names.join(", ");
    if (own.length === 1) return said(file, own[0]!);
    return own.length === 0 ? (f.text ?? "") : `${own.length} entries`;
  }
  return own
    .map((x) => (nested(x) && !short(file, x) ? `${x.key} ${said(file, x)}` : (x.text ?? "")))
    .filter((t) => t !== "")
    .join(" · ");
}
