// The table behind the curves: every row about the cursor, none left out.
import { useEffect, useState } from "preact/hooks";
import type { History } from "../sheet/bench";
import { bare, fixed } from "../sheet/numbers";
import { moved, name, tried } from "../sheet/state";
import { reading } from "../sheet/units";
import { rowsAround } from "./laid";
import { valueAt } from "./panel";
import { cursor } from "./sheet";
import { laid, wanted } from "./store";
import { moment } from "../sheet/times";

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

/** Differences are those to what is laid over, in a table. */
export function Differences() {
  const b = laid.value;
  if (b === null || b.apart.columns.length === 0) return null;
  const at = cursor();
  return (
    <table class="rows">
      <caption>{b.measured ? `Computed less measured, ${b.title}` : `This run less ${b.title}`}</caption>
      <thead>
        <tr>
          <th scope="col">column</th>
          <th scope="col">at {moment(at)}</th>
          <th scope="col">largest</th>
          <th scope="col">at</th>
          <th scope="col">on the mean</th>
          {b.measured && <th scope="col">known at 95 % to</th>}
          {b.measured && <th scope="col">share of the time within</th>}
        </tr>
      </thead>
      <tbody>
        {b.apart.columns.map((c) => (
          <tr key={c.name}>
            <th scope="row">
              {c.name} <small>{reading(c.unit).name}</small>
            </th>
            <td>{bare(valueAt(b.apart.time_s, c.values, at), c.unit)}</td>
            <td>{bare(c.most, c.unit)}</td>
            <td>{moment(c.most_at_s ?? 0)}</td>
            <td>{bare(c.mean, c.unit)}</td>
            {b.measured && <td>{c.half === null ? "" : `± ${bare(c.half, c.unit)}`}</td>}
            {b.measured && <td>{c.within === null ? "" : `${fixed(100 * c.within, 0)} %`}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
