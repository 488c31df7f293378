// The parts list, as on a drawing: a row a part, numbered, with what it is made of and how large it is. A part opens where it
// stands.
import { files, placed } from "../sheet/edits";
import { type Field, type FileFields, inside, said } from "../sheet/fields";
import { look, view } from "../sheet/view";
import { Absent, Rows, Triangle } from "./part";
import { Value } from "./value";

interface Group {
  title: string;
  file: FileFields;
  /** null: the whole file */
  of: Field | null;
}

function groups(): Group[] {
  const out: Group[] = [];
  for (const title of ["receiver", "duty"]) {
    const own = files.value.find((f) => f.kind === title);
    const at = placed(title);
    if (own !== undefined) out.push({ title, file: own, of: null });
    else if (at?.field.kind === "mapping" && at.field.given) out.push({ title, file: at.file, of: at.field });
  }
  const run = files.value.find((f) => f.kind === "run");
  if (run !== undefined) out.push({ title: "run", file: run, of: null });
  return out;
}

/** holds tells whether an input stands in a part. */
const holds = (part: Field, input: string) => input === part.input || input.startsWith(part.input + ".") || input.startsWith(part.input + "[");

export function Parts() {
  let n = 0;
  return (
    <div class="parts">
      {groups().map((g) => {
        const all = inside(g.file, g.of).filter((f) => !(g.title === "run" && (f.key === "receiver" || f.key === "duty")));
        return (
          <section key={g.title} aria-label={`Fields of the ${g.title}`}>
            <h2>
              {g.title}
              <a
                class="fine"
                href={`/drawn?file=${encodeURIComponent(g.file.name)}`}
                onClick={(e) => {
                  e.preventDefault();
                  look({ file: g.file.name });
                }}
              >
                {g.file.name}, as text
              </a>
            </h2>
            <ol class="partlist" start={n + 1}>
              {all
                .filter((f) => f.given)
                .map((f) => (
                  <Part key={f.input} n={++n} file={g.file} field={f} />
                ))}
            </ol>
            <Absent file={g.file} fields={all.filter((f) => !f.given)} />
          </section>
        );
      })}
    </div>
  );
}

function Part({ n, file, field }: { n: number; file: FileFields; field: Field }) {
  const opened = view.value.also["part"] ?? "";
  const open = opened !== "" && holds(field, opened);
  const plain = field.kind !== "list" && field.kind !== "mapping" && field.kind !== "names";
  return (
    <li class={open ? "part open" : "part"}>
      <span class="no" aria-hidden="true">
        {n}
      </span>
      {plain ? (
        <div class="leaf">
          <span class="name">
            <Triangle input={field.input} />
            {field.key}
          </span>
          <Value file={file} field={field} />
          <span class="range">{field.allowed}</span>
          <span class="means">
            {field.meaning}
            {field.comment !== undefined && <> <i>— {field.comment}</i></>}
          </span>
        </div>
      ) : (
        <>
          <button class="parthead reads" aria-expanded={open} onClick={() => look({ also: { ...view.value.also, part: open ? "" : field.input } })}>
            <span class="name">
              <Triangle input={field.input} />
              {field.key}
            </span>
            <span class="said">{said(file, field)}</span>
            {file.fields.some((f) => holds(field, f.input) && f !== field) && <Changes file={file} field={field} />}
          </button>
          {open && (
            <div class="inner">
              <p class="means">
                {field.meaning}
                {field.above !== undefined && <> <i>— {field.above}</i></>}
              </p>
              <Rows file={file} of={field} />
            </div>
          )}
        </>
      )}
    </li>
  );
}

/** Changes are the triangles of what stands inside a part that is shut. */
function Changes({ file, field }: { file: FileFields; field: Field }) {
  const inputs = file.fields.filter((f) => f !== field && f.given && holds(field, f.input)).map((f) => f.input);
  return (
    <span class="triangles">
      {inputs.map((i) => (
        <Triangle key={i} input={i} />
      ))}
    </span>
  );
}
