// What have I drawn? The receiver as it is built, its parts list with every value, what was changed, and the bench's files as text.
import { Section } from "../section/section";
import { CompositeSheet, compositeInWords } from "../materials/composite";
import { inWords as materialInWords, Materials, picked } from "../materials/materials";
import { matter, want } from "../materials/matter";
import { files, placed } from "../sheet/edits";
import { Findings } from "../sheet/findings";
import { fixed, spelled } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { bench, run } from "../sheet/state";
import { look, view } from "../sheet/view";
import { Editor } from "./editor";
import { Parts } from "./parts";
import { Revised } from "./revised";
import "./drawn.css";

export const drawn: Question = {
  name: "drawn",
  asks: "What have I drawn?",
  says() {
    const r = run.value;
    if (r === null) return "";
    const wrong = r.problems.filter((p) => p.warning !== true).length;
    if (wrong > 0) return wrong === 1 ? "one mistake" : `${wrong} mistakes`;
    return `${r.block_m.map((x) => fixed(x * 1e3, 0)).join(" × ")} mm`;
  },
  View: Drawn,
};

/** the pages of the question: the parts list, and what the parts are made of */
const pages = { "": "parts list", materials: "materials", composite: "a composite" };

function Pages() {
  const at = view.value.also["page"] ?? "";
  return (
    <nav class="pages" aria-label="Pages of what is drawn">
      {Object.entries(pages).map(([page, says]) => (
        <a
          key={page}
          href={`/drawn${page === "" ? "" : `?page=${page}`}`}
          aria-current={page === at && view.value.file === "" ? "page" : undefined}
          onClick={(e) => {
            e.preventDefault();
            look({ file: "", also: page === "" ? {} : { page } });
          }}
        >
          {says}
        </a>
      ))}
    </nav>
  );
}

function Drawn() {
  const page = view.value.also["page"];
  if (page === "materials" || page === "composite") {
    return (
      <>
        <p class="sentence">{page === "materials" ? materialInWords(picked()) : compositeInWords()}</p>
        <Pages />
        {page === "materials" ? <Materials /> : <CompositeSheet />}
      </>
    );
  }
  return <PartsPage />;
}

function PartsPage() {
  want();
  const file = view.value.file;
  const r = run.value;
  const wrong = r?.problems.filter((p) => p.warning !== true) ?? [];
  return (
    <>
      <p class="sentence">
        {wrong.length > 0 ? "What is drawn cannot be computed as it is; the last good answer stays on the sheet." : inWords()}
      </p>
      <div class="plate drawnplate">
        <div class="drawing">
          <Section time={0} beside={190} />
          <Revised />
        </div>
        <div class="written">
          <Pages />
          <datalist id="names-of-materials">
            {matter.value.materials.map((m) => (
              <option key={m.name} value={m.name} />
            ))}
          </datalist>
          <Findings problems={wrong} />
          {file === "" ? <Parts /> : <Editor key={file} file={file} />}
          <Files file={file} />
        </div>
      </div>
    </>
  );
}

/** inWords says what is drawn. */
function inWords(): string {
  const r = run.value;
  if (r === null) return bench.value?.question ?? "";
  const medium = placed("receiver.block.medium")?.field.text;
  const circuits = files.value.reduce((n, f) => n + f.fields.filter((x) => x.given && /^receiver\.circuits\[\d+\]$/.test(x.input)).length, 0);
  const passes = r.passes.length;
  const many = (n: number, one: string, more: string) => `${spelled(n)} ${n === 1 ? one : more}`;
  return (
    `A block of ${medium ?? "one medium"}, ${r.block_m.map((x) => fixed(x * 1e3, 0)).join(" × ")} mm` +
    (passes > 0 ? `, with ${many(passes, "pass", "passes")}` : "") +
    (passes > 0 && circuits > 0 ? ` in ${many(circuits, "circuit", "circuits")}` : "") +
    "."
  );
}

/** Files are the bench's files as text. */
function Files({ file }: { file: string }) {
  const texts = (bench.value?.files ?? []).filter((f) => f.endsWith(".yaml"));
  const link = (f: string, says: string) => (
    <li key={f}>
      <a
        href={f === "" ? "/drawn" : `/drawn?file=${encodeURIComponent(f)}`}
        aria-current={f === file ? "true" : undefined}
        onClick={(e) => {
          e.preventDefault();
          look({ file: f });
        }}
      >
        {says}
      </a>
    </li>
  );
  return (
    <section class="files" aria-label="Files of the bench">
      <ul>
        {texts.map((f) => link(f, f))}
      </ul>
    </section>
  );
}
