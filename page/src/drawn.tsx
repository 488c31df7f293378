// What have I drawn? The receiver as it is built, and the bench's files, which are edited here as anywhere else.
import { useEffect, useState } from "preact/hooks";
import * as api from "./api";
import { Findings } from "./findings";
import { Section } from "./section";
import { bench, name, run, tried } from "./state";
import { look, view } from "./view";

function Editor({ file }: { file: string }) {
  const [read, setRead] = useState<api.TextFile | null>(null);
  const [text, setText] = useState("");
  const [found, setFound] = useState<api.Problem[]>([]);
  const load = async () => {
    const t = await tried(api.readFile(file));
    if (!t) return;
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
  const save = async () => {
    if (read === null) return;
    const t = await tried(api.writeFile(file, text, read.mark));
    if (!t) return; // the text stays in the field
    setRead(t);
    if (/\.ya?ml$/.test(file)) setFound((await tried(api.check(file)))?.problems ?? []);
    await tried(api.again(name.value));
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

export function Drawn() {
  const files = (bench.value?.files ?? []).filter((f) => f.endsWith(".yaml"));
  const file = view.value.file || files[0] || "";
  const r = run.value;
  return (
    <>
      <p class="sentence">{bench.value?.question || r?.title || ""}</p>
      <div class="plate">
        {r?.drawn === true && <Section time={0} />}
        <section class="files" aria-label="Files of the bench">
          <ul>
            {files.map((f) => (
              <li key={f}>
                <a
                  href={`/drawn?file=${encodeURIComponent(f)}`}
                  aria-current={f === file ? "true" : undefined}
                  onClick={(e) => {
                    e.preventDefault();
                    look({ file: f });
                  }}
                >
                  {f}
                </a>
              </li>
            ))}
          </ul>
          {file !== "" && <Editor key={file} file={file} />}
        </section>
      </div>
    </>
  );
}
