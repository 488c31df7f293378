// A length in hand: the field that opens at its number, with what is allowed beside it. Enter writes it into the file, Esc
// leaves it as it was.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Problem } from "../sheet/bench";
import { edit } from "../sheet/edits";
import { type FileFields, fields } from "../sheet/fields";
import { Finding } from "../sheet/findings";
import { stepped } from "../sheet/numbers";
import { tried } from "../sheet/state";

/** Which length is in hand, and where its number stands in the figure, px. */
export interface Held {
  file: string;
  path: string;
  text: string;
  what: string;
  x: number;
  y: number;
  room: number;
}

/** heldBy says which length was touched and where its number stands. */
function heldBy(given: SVGElement, box: HTMLElement): Held {
  const at = (given.querySelector("text") ?? given).getBoundingClientRect();
  const from = box.getBoundingClientRect();
  const { file = "", path = "", text = "", what = "" } = given.dataset;
  return { file, path, text, what, x: at.left + at.width / 2 - from.left, y: at.top + at.height / 2 - from.top, room: from.width };
}

/** useInHand is the length that is in hand in the figure in a box: take it by a click or a key, leave it and, if wanted, go back to it. */
export function useInHand(box: HTMLElement | null): { held: Held | null; take: (e: Event) => void; leave: (back: boolean) => void } {
  const [held, setHeld] = useState<Held | null>(null);
  const take = (e: Event) => {
    const given = (e.target as Element).closest<SVGElement>(".given");
    if (given === null || box === null) return;
    if (e instanceof KeyboardEvent && e.key !== "Enter" && e.key !== " ") return;
    e.preventDefault();
    setHeld(heldBy(given, box));
  };
  const leave = (back: boolean) => {
    if (back && held !== null) box?.querySelector<SVGElement>(`[data-path="${CSS.escape(held.path)}"]`)?.focus();
    setHeld(null);
  };
  return { held, take, leave };
}

const wide = 236; // px, as in the style sheet

export function InHand({ of, leave }: { of: Held; leave: (back: boolean) => void }) {
  const [text, setText] = useState(of.text);
  const [file, setFile] = useState<FileFields | null>(null);
  const [wrong, setWrong] = useState<Problem[]>([]);
  const box = useRef<HTMLFormElement>(null);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    void tried(fields(of.file)).then((got) => {
      if (!got) return;
      setFile(got);
      const now = got.fields.find((f) => f.path === of.path)?.text;
      if (now !== undefined && now !== of.text) setText(now);
    });
  }, []);
  useLayoutEffect(() => {
    const b = box.current!;
    b.style.left = `${Math.min(Math.max(of.x - 52, 0), Math.max(0, of.room - wide))}px`;
    b.style.top = `${of.y - 15}px`;
    input.current!.focus();
    input.current!.select();
  }, []);
  const field = file?.fields.find((f) => f.path === of.path);
  const write = async () => {
    if (file === null) return;
    if (text === field?.text) return leave(true);
    const got = await edit(file, of.path, text);
    if (got === undefined) return leave(true); // the page says why
    if (got.written) return leave(true);
    setWrong(got.problems);
    input.current?.select();
  };
  return (
    <form
      class="inhand"
      ref={box}
      aria-label={`Change the ${of.what}`}
      onSubmit={(e) => {
        e.preventDefault();
        void write();
      }}
      onFocusOut={(e) => {
        if (e.relatedTarget !== null && !box.current!.contains(e.relatedTarget as Node)) leave(false);
      }}
      onClick={(e) => e.stopPropagation()}
      onKeyDown={(e) => {
        e.stopPropagation();
        if (e.key === "Escape") leave(true);
        const step = { ArrowUp: 1, ArrowDown: -1 }[e.key];
        if (step === undefined || e.target !== input.current) return;
        e.preventDefault();
        setText((t) => stepped(t, step * (e.shiftKey ? 10 : 1)));
        setWrong([]);
      }}
    >
      <input
        ref={input}
        class={wrong.length > 0 ? "struck" : undefined}
        value={text}
        spellcheck={false}
        aria-label={of.what}
        aria-invalid={wrong.length > 0}
        aria-describedby="inhand-says"
        onInput={(e) => {
          setText((e.target as HTMLInputElement).value);
          setWrong([]);
        }}
      />
      <button disabled={file === null}>write</button>
      <div id="inhand-says">
        <p>{of.what}</p>
        {wrong.length === 0 && field?.allowed !== undefined && <p class="allowed">{field.allowed}</p>}
        {wrong.map((p, i) => (
          <p key={i} class="mistake" role="alert">
            <Finding p={p} />
          </p>
        ))}
        <p class="where">
          {of.file}
          {field !== undefined && `:${field.line}`}
        </p>
      </div>
    </form>
  );
}
