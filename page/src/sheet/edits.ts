// Edits made on this page, which undo walks back. Each keeps the file's text before and after; where somebody else has
// written in between, only the one place is brought back, so that nothing of theirs is lost.
import { signal } from "@preact/signals";
import * as api from "./bench";
import { type Change, type Changed, changeField, type Field, type FileFields, fields, runFields } from "./fields";
import { keys } from "./keys";
import { name as runName, tried } from "./state";
import { doing, failed } from "./troubles";

export interface Edit {
  name: string;
  path: string;
  /** as a run's inputs are named */
  input: string;
  /** what stood there, and what stands now; null: nothing */
  old: string | null;
  now: string | null;
  before: string;
  after: string;
}

/** kinds of files on which no run hangs */
const unread = new Set(["trial", "plan", "match", "study"]);

/** what may be kept of edits over a reload, in characters */
const most = 2_000_000;

function kept(key: string): Edit[] {
  try {
    return JSON.parse(sessionStorage.getItem(key) ?? "[]") as Edit[];
  } catch {
    return [];
  }
}

/** edits done, and edits taken back that can be done again; the last is the next */
export const done = signal<Edit[]>(kept("edits"));
export const undone = signal<Edit[]>(kept("undone"));
/** grows with each change of a file that this page has made */
export const written = signal(0);
/** what undo and redo have just done, in words */
export const told = signal("");

function keep(): void {
  for (const [key, list] of [
    ["edits", done.value],
    ["undone", undone.value],
  ] as const) {
    let from = 0;
    while (from < list.length && JSON.stringify(list.slice(from)).length > most) from++;
    try {
      sessionStorage.setItem(key, JSON.stringify(list.slice(from)));
    } catch {
      // undo holds until the page is read again
    }
  }
}

/** the files of the run that is looked at, with all their fields */
export const files = signal<FileFields[]>([]);

export async function readFields(): Promise<void> {
  if (runName.value === "" || runName.value.includes("#")) {
    files.value = []; // a variant of a study has no files that can be edited
    return;
  }
  const of = runName.value;
  const got = await tried(runFields(of));
  if (got && of === runName.value) files.value = got.files;
}

/** placed finds a field of the run that is looked at by the name of its input, such as receiver.block.depth. */
export function placed(input: string): { file: FileFields; field: Field } | undefined {
  for (const file of files.value) {
    const field = file.fields.find((f) => f.input === input);
    if (field) return { file, field };
  }
  return undefined;
}

/**
 * edit changes one place of a file; without a text it takes the place out. What comes back says whether it was written and
 * what check says; undefined: it could not be asked for, and the page says why.
 */
export async function edit(file: FileFields, path: string, text: string | null): Promise<Changed | undefined> {
  const field = file.fields.find((f) => f.path === path);
  const old = field?.given === true ? (field.text ?? "") : null;
  const change: Change = text === null ? { name: file.name, path, remove: true, mark: file.mark } : { name: file.name, path, text, mark: file.mark };
  const got = await tried(changeField(change));
  if (got === undefined) {
    await readFields(); // the file may have changed elsewhere
    return undefined;
  }
  if (got.written && got.before !== undefined && got.after !== undefined && got.before !== got.after) {
    done.value = [...done.value, { name: file.name, path, input: field?.input ?? (file.root ?? "") + path, old, now: text, before: got.before, after: got.after }];
    undone.value = [];
    keep();
    wrote(!unread.has(file.kind));
  }
  return got;
}

/** typed notes that a whole text of a file was written by this page. */
export function typed(file: string, before: string, after: string): void {
  if (before === after) return;
  done.value = [...done.value, { name: file, path: "", input: file, old: null, now: null, before, after }];
  undone.value = [];
  keep();
  wrote();
}

/** wrote tells that a file was written; the program sees by itself which runs are to be computed anew. */
function wrote(read = true): void {
  written.value++;
  if (read) void readFields();
}

/** bring puts a file's text back to what it was on one side of an edit. */
async function bring(e: Edit, from: string, to: string, text: string | null): Promise<boolean> {
  const now = await tried(api.readFile(e.name));
  if (now === undefined) return false;
  if (now.text === from) return (await tried(api.writeFile(e.name, to, now.mark))) !== undefined;
  if (e.path === "") {
    failed(doing, `${e.name} was changed elsewhere since its text was written here; look at it as text`);
    return false;
  }
  // written elsewhere in between: only the one place goes back, and only where it still says what this edit made of it
  const all = await tried(fields(e.name));
  if (all === undefined) return false;
  const field = all.fields.find((f) => f.path === e.path);
  const here = field?.given === true ? (field.text ?? "") : null;
  if (here !== (text === e.old ? e.now : e.old)) {
    failed(doing, `${e.name} was changed elsewhere since: ${e.path} ${here === null ? "is not stated there any more" : `is now ${here}`}. It is left as it is.`);
    return false;
  }
  try {
    const got = await changeField(text === null ? { name: e.name, path: e.path, remove: true, mark: all.mark } : { name: e.name, path: e.path, text, mark: all.mark });
    if (!got.written) failed(doing, got.problems.map((p) => p.message).join("; "));
    return got.written;
  } catch (error) {
    failed(doing, error);
    return false;
  }
}

const says = (e: Edit, text: string | null) => (e.path === "" ? `the text of ${e.name}` : `${e.input}: ${text ?? "not stated"}`);

let walking = false;

async function walk(back: boolean): Promise<void> {
  const [from, to] = back ? [done, undone] : [undone, done];
  const e = from.value.at(-1);
  if (e === undefined || walking) return;
  walking = true;
  const ok = back ? await bring(e, e.after, e.before, e.old) : await bring(e, e.before, e.after, e.now);
  walking = false;
  if (!ok) return;
  from.value = from.value.slice(0, -1);
  to.value = [...to.value, e];
  keep();
  told.value = back ? `taken back: ${says(e, e.old)}` : `done again: ${says(e, e.now)}`;
  wrote();
}

export const undo = () => walk(true);
export const redo = () => walk(false);

keys(
  { key: "u", does: "undo the last edit", run: () => void undo(), when: () => done.value.length > 0 },
  { key: "U", does: "do it again", run: () => void redo(), when: () => undone.value.length > 0 },
);
