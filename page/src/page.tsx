// The sheet: a row of questions, the answer in a sentence, the plate, and the title block.
import { render } from "preact";
import { Drawn } from "./drawn";
import { questions } from "./questions";
import { bench, joined, start, trouble } from "./state";
import { TitleBlock } from "./title";
import { look, view } from "./view";
import { Will } from "./will";
import "./page.css";

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
        {bench.value !== null && (view.value.question === "drawn" ? <Drawn /> : <Will />)}
      </main>
      <TitleBlock />
    </div>
  );
}

addEventListener("keydown", (e) => {
  const at = e.target as HTMLElement | null;
  if (e.ctrlKey || e.metaKey || e.altKey || (at !== null && /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName))) return;
  const q = questions[Number(e.key) - 1];
  if (q) look({ question: q.name });
  else if (e.key === "x") look({ axis: "depth", at: NaN });
  else if (e.key === "y") look({ axis: "width", at: NaN });
  else if (e.key === "z") look({ axis: "height", at: NaN });
  else return;
  e.preventDefault();
});

render(<Sheet />, document.body);
void start().then(() => {
  document.title = `${bench.value?.name ?? ""} · Emberbank`;
});
