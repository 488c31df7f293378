// The sheet: a row of questions, the answer in a sentence, the plate, and the title block.
import "./sheet/fonts.css";
import "./sheet/colours.css";
import "./sheet/frame.css";
import "./sheet/sheet.css"; // all before the rooms, which may add to it
import { effect } from "@preact/signals";
import { render } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { believed } from "./believed/believed";
import { built } from "./built/built";
import { day } from "./day/day";
import { drawn } from "./drawn/drawn";
import { handed } from "./handed/handed";
import { planned } from "./planned/planned";
import { quiet } from "./sheet/ask";
import { goOn } from "./sheet/focus";
import { Frame } from "./sheet/frame";
import { keys } from "./sheet/keys";
import type { Question } from "./sheet/question";
import { bench, joined, moved, name as runName, otherwise, rows, start } from "./sheet/state";
import { trouble } from "./sheet/troubles";
import { look, view } from "./sheet/view";
import { TitleBlock } from "./title/title";
import { tried } from "./tried/tried";
import { verified } from "./verified/verified";
import { will } from "./will/will";
import "./sheet/print.css";

/** in the zones of the sheet's edge, and on the keys of their numbers */
const questions: Question[] = [drawn, will, planned, tried, believed, built, day, handed];

/** what stands in no zone: asked of the program, not of the receiver */
const besides: Question[] = [verified];

keys(...questions.map((q, i) => ({ key: String(i + 1), does: q.asks, run: () => look({ question: q.name }) })));

function Questions() {
  return (
    <nav class="questions" aria-label="Questions">
      {questions.map((q, i) => (
        <a
          key={q.name}
          href={`/${q.name}`}
          aria-current={view.value.question === q.name ? "page" : undefined}
          onClick={(e) => {
            e.preventDefault();
            look({ question: q.name });
          }}
        >
          <span class="zone" aria-hidden="true">
            {i + 1}
          </span>
          <b>{q.asks}</b>
          <small>{q.says()}</small>
        </a>
      ))}
    </nav>
  );
}

/** asked is the question that is looked at. */
const asked = () => [...questions, ...besides].find((q) => q.name === view.value.question) ?? will;

function Sheet() {
  const { View, asks, name } = asked();
  const main = useRef<HTMLElement>(null);
  const before = useRef(name);
  useEffect(() => {
    document.title = [asks, bench.value?.name, "Emberbank"].filter((s) => s !== undefined && s !== "").join(" · ");
    if (before.current === name) return;
    before.current = name;
    scrollTo(0, 0);
    // who came by a key or through the row of questions goes on in the answer, unless that has taken the focus by itself
    const at = document.activeElement;
    if (at === null || at === document.body || at.closest(".questions") !== null) goOn(main.current);
  }, [name, bench.value?.name]);
  return (
    <div class="sheet">
      <a class="skip" href="#answer" onClick={(e) => (e.preventDefault(), goOn(main.current), main.current?.scrollIntoView())}>
        to the answer
      </a>
      <Frame across={questions.length} />
      <Questions />
      <main id="answer" ref={main} aria-labelledby="asked">
        <h1 id="asked" class="heard">
          {asks}
        </h1>
        {trouble.value !== "" && (
          <p class="trouble" role="alert">
            {trouble.value}
          </p>
        )}
        {!joined.value && (
          <p class="trouble" role="status">
            The program does not answer. What is shown may be old; the page joins again by itself when it is back.
          </p>
        )}
        {bench.value !== null && <View />}
      </main>
      <TitleBlock />
    </div>
  );
}

/** foretell has every question read its short answer from what is kept, one after the other, as soon as what is looked at has its
 * first numbers, or there is nothing to wait for. */
function foretell(): void {
  const end = effect(() => {
    if (bench.value === null) return;
    if (runName.value !== "" && rows.value === null && (moved.value === null || moved.value.state === "computing")) return;
    queueMicrotask(() => end());
    void quiet().then(async () => {
      for (const q of questions) if (q.name !== view.peek().question) await q.knows?.();
    });
  });
}

otherwise.value = () => asked().run?.();
render(<Sheet />, document.body);
void start();
foretell();
