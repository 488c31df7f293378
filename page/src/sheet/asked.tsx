// What a file asks, before it has an answer: its entries in few words, with what each means. They are changed in the file.
import { useEffect, useState } from "preact/hooks";
import { written } from "./edits";
import { type FileFields, fields, inside, said } from "./fields";
import { tried } from "./state";
import { look } from "./view";

export function Asked({ name }: { name: string }) {
  const [file, setFile] = useState<FileFields | null>(null);
  useEffect(() => {
    let gone = false;
    void tried(fields(name)).then((f) => gone || f === undefined || setFile(f));
    return () => void (gone = true);
  }, [name, written.value]);
  if (file === null || file.name !== name) return null;
  return (
    <section class="asked" aria-label={`What ${name} asks`}>
      <h2>
        What it asks{" "}
        <a href={`/drawn?file=${encodeURIComponent(name)}`} onClick={(e) => (e.preventDefault(), look({ question: "drawn", file: name }))}>
          {name}, as text
        </a>
      </h2>
      <dl>
        {inside(file, null)
          .filter((f) => f.given && f.key !== "name")
          .map((f) => (
            <div key={f.path}>
              <dt>{f.key}</dt>
              <dd>
                {said(file, f)} <span class="means">{f.meaning}</span>
              </dd>
            </div>
          ))}
      </dl>
    </section>
  );
}
