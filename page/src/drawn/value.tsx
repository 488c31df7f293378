// One value in blue pen: typed with its unit, written into its file when left, struck in red where check says no.
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Problem } from "../sheet/bench";
import { edit } from "../sheet/edits";
import type { Field, FileFields } from "../sheet/fields";
import { Finding } from "../sheet/findings";
import { stepped } from "../sheet/numbers";

/** names that a text may want to be, by what the field means */
export function listFor(f: Field): string | undefined {
  return /material/.test(f.example ?? "") || f.key === "medium" || f.key === "material" || f.key === "matrix" || f.key === "filler" ? "names-of-materials" : undefined;
}

/** what is typed into fields that check refuses, by file and path, so that it stays while parts are opened and shut */
const refusedTexts = new Map<string, { typed: string; problems: Problem[] }>();

export function Value({ file, field, focus = false, left, beside }: { file: FileFields; field: Field; focus?: boolean; left?: () => void; beside?: ComponentChildren }) {
  const key = `${file.name} ${field.path}`;
  const stands = field.text ?? "";
  const [typed, setTyped] = useState(refusedTexts.get(key)?.typed ?? (field.given ? stands : ""));
  const [wrong, setWrong] = useState<Problem[]>(refusedTexts.get(key)?.problems ?? []);
  const busy = useRef(false);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (document.activeElement !== input.current && !refusedTexts.has(key)) setTyped(field.given ? stands : "");
  }, [stands, field.given, key]);
  useEffect(() => {
    if (focus) input.current?.focus();
  }, [focus]);
  const back = () => {
    refusedTexts.delete(key);
    setWrong([]);
    setTyped(field.given ? stands : "");
  };
  const commit = async (text: string) => {
    if (busy.current) return;
    if (text.trim() === (field.given ? stands : "")) return back();
    busy.current = true;
    const got = await edit(file, field.path, text.trim());
    busy.current = false;
    if (got === undefined) return;
    if (got.written) {
      refusedTexts.delete(key);
      setWrong([]);
      left?.();
      return;
    }
    refusedTexts.set(key, { typed: text, problems: got.problems });
    setWrong(got.problems);
  };
  const words = field.words ?? [];
  const choice = (field.kind === "word" || field.kind === "flag") && words.length > 0 && wrong.length === 0;
  const told = `${key.replace(/[^\w]/g, "-")}-told`;
  const name = field.input.replace(/\./g, " ");
  return (
    <>
      <span class="put">
      {choice ? (
        <select aria-label={name} value={field.given ? stands : ""} onChange={(e) => void commit((e.target as HTMLSelectElement).value)}>
          {!(field.given && words.includes(stands)) && <option value={field.given ? stands : ""}>{field.given ? stands : ""}</option>}
          {words.map((w) => (
            <option key={w} value={w}>
              {w}
            </option>
          ))}
        </select>
      ) : (
        <input
          ref={input}
          class={wrong.length > 0 ? "pen struck" : "pen"}
          aria-label={name}
          aria-invalid={wrong.length > 0}
          aria-describedby={wrong.length > 0 ? told : undefined}
          list={listFor(field)}
          placeholder={field.given ? undefined : field.example}
          size={Math.max(8, Math.min(34, typed.length + 1))}
          value={typed}
          spellcheck={false}
          autocomplete="off"
          onInput={(e) => setTyped((e.target as HTMLInputElement).value)}
          onBlur={() => (typed.trim() === "" && !field.given ? left?.() : void commit(typed))}
          onKeyDown={(e) => {
            if (e.key === "Enter") void commit(typed);
            else if (e.key === "Escape") {
              back();
              left?.();
            } else if ((e.key === "ArrowUp" || e.key === "ArrowDown") && (field.kind === "quantity" || field.kind === "count")) {
              setTyped(stepped(typed, (e.key === "ArrowUp" ? 1 : -1) * (e.shiftKey ? 10 : 1)));
            } else return;
            e.preventDefault();
          }}
        />
      )}
      {beside}
      </span>
      {wrong.length > 0 && (
        <div class="told" id={told} role="alert">
          {wrong.map((p, i) => (
            <p key={i}>
              <Finding p={p} />
            </p>
          ))}
          <p>
            <button onMouseDown={(e) => e.preventDefault()} onClick={back}>
              {field.given ? `back to ${stands}` : "leave it out"}
            </button>
            <span>
              {file.name}
              {`:${field.line}:${field.column}`}
            </span>
            <i>Nothing is written; the last good answer stays on the sheet.</i>
          </p>
        </div>
      )}
    </>
  );
}
