// The author's own words, in dossier.yaml: written in the editor of the bench's files, with the mistakes of its places beside.
import { useState } from "preact/hooks";
import { Editor } from "../drawn/editor";
import type { Problem } from "../sheet/bench";
import { Findings } from "../sheet/findings";
import { ahead, beginWords, load, type Standing, standing } from "./store";

/** wordsProblems are the mistakes in the author's words: of the file by itself, and of places that no result fills. */
export function wordsProblems(): Problem[] {
  const s = standing.value;
  if (s === null) return [];
  const all = ahead.value?.problems.filter((p) => p.file === s.words) ?? [];
  return s.problems.length > 0 ? s.problems : all;
}

export function Words({ s }: { s: Standing }) {
  const [open, setOpen] = useState(false);
  if (!s.worded) {
    return (
      <section class="words" aria-label="The author's words">
        <h2>Your own words</h2>
        <p>Without a file of your own the report has all parts that have something to say. {s.words} says which parts, in which order, and adds words with places for numbers.</p>
        <p class="verbs">
          <button
            onClick={() =>
              void beginWords().then((made) => {
                if (made === undefined) return;
                setOpen(true);
                void load();
              })
            }
          >
            begin {s.words}
          </button>
        </p>
      </section>
    );
  }
  return (
    <section class="words" aria-label="The author's words">
      <h2>
        Your own words{" "}
        <button class="unfold" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? `close ${s.words}` : `${s.words}, as text`}
        </button>
      </h2>
      {open ? <Editor file={s.words} /> : <Findings problems={wordsProblems()} />}
    </section>
  );
}
