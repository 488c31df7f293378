// The sheet: a row of questions, the answer in a sentence, the plate, and the title block.
import { render } from "preact";
import { drawn } from "./drawn/drawn";
import { keys } from "./sheet/keys";
import type { Question } from "./sheet/question";
import { bench, joined, start, trouble } from "./sheet/state";
import { TitleBlock } from "./sheet/title";
import { look, view } from "./sheet/view";
import { will } from "./will/will";
import "./sheet/sheet.css";

/** in the zones of the sheet's edge, and on the keys 1 to 8 */
const questions: Question[] = [drawn, will];

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

function Sheet() {
  const { View } = questions.find((q) => q.name === view.value.question) ?? will;
  return (
    <div class="sheet">
      <Questions />
      <main>
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

render(<Sheet />, document.body);
void start().then(() => {
  document.title = `${bench.value?.name ?? ""} · Emberbank`;
});
