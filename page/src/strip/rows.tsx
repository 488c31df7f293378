// The table behind the curves: every row about the cursor, none left out.
import { useEffect, useState } from "preact/hooks";
import type { History } from "../sheet/bench";
import { bare } from "../sheet/numbers";
import { moved, name, tried } from "../sheet/state";
import { reading } from "../sheet/units";
import { rowsAround } from "./laid";
import { cursor } from "./sheet";
import { wanted } from "./store";
import { moment } from "./times";

const many = 13;

export function Rows() {
  const [h, setH] = useState<History | null>(null);
  const at = cursor();
  const names = wanted.value.join(",");
  const answer = moved.value?.answer;
  useEffect(() => {
    let still = true;
    const later = setTimeout(() => {
      void tried(rowsAround(name.value, names, at, many)).then((got) => {
        if (still && got !== undefined) setH(got);
      });
    }, 60);
    return () => {
      still = false;
      clearTimeout(later);
    };
  }, [at, names, answer]);
  if (h === null) return null;
  const here = h.time_s.reduce((best, t, i) => (t <= at + 1e-6 ? i : best), 0);
  return (
    <div class="table">
      <table class="rows">
        <caption>The rows about the cursor</caption>
        <thead>
          <tr>
            <th scope="col">time</th>
            {h.columns.map((c) => (
              <th scope="col" key={c.name}>
                {c.name} <small>{reading(c.unit).name}</small>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {h.time_s.map((t, i) => (
            <tr key={t} aria-current={i === here ? "true" : undefined}>
              <th scope="row">{moment(t, Number.isInteger(t / 60) ? 60 : 1)}</th>
              {h.columns.map((c) => (
                <td key={c.name}>{bare(c.values[i], c.unit)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
