// What have I drawn? The receiver as it is built, and the bench's files, which are edited here as anywhere else.
import { Section } from "../section/section";
import { fixed } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { bench, run } from "../sheet/state";
import { look, view } from "../sheet/view";
import { Editor } from "./editor";

export const drawn: Question = {
  name: "drawn",
  asks: "What have I drawn?",
  says() {
    const r = run.value;
    if (r === null) return "";
    const wrong = r.problems.filter((p) => p.warning !== true).length;
    if (wrong > 0) return wrong === 1 ? "one mistake" : `${wrong} mistakes`;
    return `${r.block_m.map((x) => fixed(x * 1e3, 0)).join(" × ")} mm, ${r.passes.length} passes`;
  },
  View: Drawn,
};

function Drawn() {
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
