// What a study says: its answers in sentences with their tables, how far constraints are met, and what it notes.
import { inUnitsBut } from "../sheet/sentence";
import type { Outcome } from "./studies";

export function Verdict({ of, first }: { of: Outcome; first: string }) {
  const notes = of.notes.filter((n) => n !== first);
  const names = of.columns.map((c) => c.name);
  const share = of.share_that_meets_the_constraints?.sentence;
  return (
    <div class="verdict">
      {of.answers.map((a) => (
        <section key={a.question}>
          <h2>{a.question}</h2>
          {a.sentences
            .filter((s) => s !== first)
            .map((s, i) => (
              <p key={i}>{inUnitsBut(s, names)}</p>
            ))}
          {a.table !== undefined && a.table.length > 1 && (
            <table>
              <thead>
                <tr>
                  {a.table[0]!.map((c, i) => (
                    <th key={i} scope="col">
                      {c}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {a.table.slice(1).map((row, i) => (
                  <tr key={i}>
                    {row.map((c, k) => (
                      <td key={k}>{c}</td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          )}
          {a.below_the_table !== undefined && <p class="small">{a.below_the_table}</p>}
        </section>
      ))}
      {of.constraints.length > 0 && (
        <section>
          <h2>Constraints</h2>
          {of.constraints.map((c) => (
            <p key={c.constraint}>{inUnitsBut(c.sentence, names)}</p>
          ))}
          {share !== undefined && <p>{share}</p>}
        </section>
      )}
      {notes.length > 0 && (
        <section>
          <h2>To be known with it</h2>
          {notes.map((n) => (
            <p key={n}>{inUnitsBut(n, names)}</p>
          ))}
        </section>
      )}
    </div>
  );
}

/** Warned says where variants warn: nothing is built by a study alone. */
export function Warned({ of }: { of: Outcome }) {
  const warn = of.variants.filter((v) => (v.cautions?.length ?? 0) > 0);
  if (warn.length === 0) return null;
  const kinds = [...new Set(warn.flatMap((v) => v.cautions!))];
  return (
    <aside class="cautions" aria-label="Cautions">
      <p>
        {warn.length} of {of.variants.length} variants warn ({kinds.join(", ")}). Open a variant and read its warnings with their numbers before anything is built, lit or filled. Local
        codes and licensed practice decide.
      </p>
    </aside>
  );
}
