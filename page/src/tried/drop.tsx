// A logger's file is dropped on the sheet, or chosen by hand: it goes into the bench as it is, and a first description of it
// is written beside it.
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { address, send } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { written } from "../sheet/edits";
import { Findings } from "../sheet/findings";
import { bytes } from "../sheet/numbers";
import { meet } from "../sheet/state";
import { doing, failed, mended } from "../sheet/troubles";
import { look } from "../sheet/view";

/** what is under way, in words; empty: nothing */
const under = signal("");
const refused = signal<Problem[]>([]);

/** take hands a file over, and tells how far it has got: fetch does not say so. */
function take(file: File): Promise<{ file: string; size_B: number }> {
  return new Promise((done, failed) => {
    const r = new XMLHttpRequest();
    r.open("POST", address("logger", { name: file.name }));
    r.setRequestHeader("Content-Type", "application/octet-stream");
    r.upload.onprogress = (e) => {
      under.value = `${file.name}: ${bytes(e.loaded)} of ${bytes(file.size)} are in the bench`;
    };
    r.onerror = () => failed(new Error(`${file.name} did not arrive: the program does not answer`));
    r.onload = () => {
      let said: { detail?: string; title?: string } & Partial<{ file: string; size_B: number }> = {};
      try {
        said = JSON.parse(r.responseText) as typeof said;
      } catch {
        // the state says enough
      }
      if (r.status >= 200 && r.status < 300 && said.file !== undefined) done({ file: said.file, size_B: said.size_B ?? 0 });
      else failed(new Error(said.detail ?? said.title ?? `${file.name} was not taken`));
    };
    r.send(file);
  });
}

async function takeAll(files: File[]): Promise<void> {
  if (files.length === 0 || under.value !== "") return;
  refused.value = [];
  mended(doing);
  try {
    const names: string[] = [];
    for (const f of files) {
      under.value = `${f.name}: ${bytes(f.size)}`;
      names.push((await take(f)).file);
    }
    under.value = `${names.join(", ")}: reading what it holds`;
    const d = await send<{ trial: string; problems: Problem[] }>("POST", "trial/draft", {}, { files: names });
    refused.value = d.problems;
    if (d.trial !== "") {
      look({ question: "tried", also: { trial: d.trial } });
      written.value++;
      void meet();
    }
  } catch (e) {
    failed(doing, e);
  }
  under.value = "";
}

/** over tells whether files are held over the page; it listens while the question is looked at. */
function useDropped(): boolean {
  const [over, setOver] = useState(false);
  useEffect(() => {
    const files = (e: DragEvent) => e.dataTransfer?.types.includes("Files") === true;
    const enter = (e: DragEvent) => {
      if (!files(e)) return;
      e.preventDefault();
      setOver(true);
    };
    const leave = (e: DragEvent) => {
      if (e.relatedTarget === null) setOver(false);
    };
    const drop = (e: DragEvent) => {
      if (!files(e)) return;
      e.preventDefault();
      setOver(false);
      void takeAll([...(e.dataTransfer?.files ?? [])]);
    };
    addEventListener("dragenter", enter);
    addEventListener("dragover", enter);
    addEventListener("dragleave", leave);
    addEventListener("drop", drop);
    return () => {
      removeEventListener("dragenter", enter);
      removeEventListener("dragover", enter);
      removeEventListener("dragleave", leave);
      removeEventListener("drop", drop);
    };
  }, []);
  return over;
}

/** Drop takes loggers' files; whole: there is nothing else on the sheet yet. */
export function Drop({ whole }: { whole: boolean }) {
  const over = useDropped();
  const at = useRef<HTMLInputElement>(null);
  const busy = under.value !== "";
  return (
    <>
      <div class={`drop${whole ? " whole" : ""}${over ? " over" : ""}`}>
        <button type="button" disabled={busy} onClick={() => at.current?.click()}>
          {whole ? "choose a logger's file" : "another logger's file"}
        </button>
        <span role="status">{busy ? under.value : over ? "let go: it is copied into the bench as it is" : "or drop it anywhere on the sheet; several files at once make one trial"}</span>
        <input
          ref={at}
          class="heard"
          type="file"
          multiple
          tabIndex={-1}
          aria-label="loggers' files"
          accept=".csv,.txt,.tsv,.dat,.log,.asc,.prn"
          onChange={(e) => {
            const field = e.target as HTMLInputElement;
            const files = [...(field.files ?? [])];
            void takeAll(files);
            field.value = "";
          }}
        />
      </div>
      <Findings problems={refused.value} />
    </>
  );
}
