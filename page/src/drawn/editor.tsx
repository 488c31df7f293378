// A file of the bench as text, edited as in any editor, with what check says of it.
import { useEffect, useRef, useState } from "preact/hooks";
import * as api from "../sheet/bench";
import { Findings } from "../sheet/findings";
import { typed, written } from "../sheet/edits";
import { tried } from "../sheet/state";

export function Editor({ file }: { file: string }) {
  const [read, setRead] = useState<api.TextFile | null>(null);
  const [text, setText] = useState("");
  const [found, setFound] = useState<api.Problem[]>([]);
  const now = useRef({ read, text });
  now.current = { read, text };
  const load = async () => {
    const t = await tried(api.readFile(file));
    const { read, text } = now.current;
    if (!t || (read !== null && text !== read.text)) return; // something was typed meanwhile: it stays
    setRead(t);
    setText(t.text);
    if (/\.ya?ml$/.test(file)) setFound((await tried(api.check(file)))?.problems ?? []);
  };
  useEffect(() => {
    setRead(null);
    setFound([]);
    void load();
  }, [file]);
  // Another program may have written the file: what is not edited here is read again when the page is looked at.
  useEffect(() => {
    const again = () => {
      if (read === null || text === read.text) void load();
    };
    addEventListener("focus", again);
    return () => removeEventListener("focus", again);
  }, [file, read, text]);
  // undo and redo write too
  useEffect(() => {
    if (read !== null && text === read.text) void load();
  }, [written.value]);
  const save = async () => {
    if (read === null) return;
    const t = await tried(api.writeFile(file, text, read.mark));
    if (!t) return; // the text stays in the field
    typed(file, read.text, text);
    setRead(t);
    if (/\.ya?ml$/.test(file)) setFound((await tried(api.check(file)))?.problems ?? []);
  };
  if (read === null) return null;
  const changed = text !== read.text;
  return (
    <section class="editor" aria-label={file}>
      <textarea
        spellcheck={false}
        aria-label={`Text of ${file}`}
        value={text}
        onInput={(e) => setText((e.target as HTMLTextAreaElement).value)}
        onKeyDown={(e) => {
          if (e.key === "s" && (e.ctrlKey || e.metaKey)) {
            e.preventDefault();
            void save();
          }
        }}
      />
      <p class="verbs">
        <button disabled={!changed} onClick={() => void save()}>
          write
        </button>
        <button disabled={!changed} onClick={() => setText(read.text)}>
          leave as it was
        </button>
        <span>{changed ? "not written yet" : "as on the disk"}</span>
      </p>
      <Findings problems={found} />
    </section>
  );
}
