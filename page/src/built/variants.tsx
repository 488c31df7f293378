// The table of variants. Each opens as a run of its own in the question what it will do.
import { useState } from "preact/hooks";
import { bare } from "../sheet/numbers";
import { reading } from "../sheet/units";
import { look } from "../sheet/view";
import type { Dot } from "./dots";
import { amount, type Column, short } from "./studies";

/** open looks at a variant: the server computes it from the files that the study has kept. */
export function open(study: string, number: number): void {
  look({ question: "will", run: `${study}#${number}`, time: Infinity, also: {} });
}

/** how many rows are shown at once */
const most = 200;

export function Variants({ study, columns, dots, opens }: { study: string; columns: Column[]; dots: Dot[]; opens: boolean }) {
  const [from, setFrom] = useState(0);
  const [by, setBy] = useState<{ column: number; down: boolean } | null>(null);
  const rows = by === null ? dots : sorted(dots, by.column, by.down);
  const misses = dots.some((d) => !d.meets && !d.failed);
  return (
    <div class="variants">
      <table>
        <caption>Variants{opens && <span class="hint"> each opens in what it will do</span>}</caption>
        <thead>
          <tr>
            <th scope="col" />
            {columns.map((c, i) => (
              <th key={i} scope="col" aria-sort={by?.column === i ? (by.down ? "descending" : "ascending") : undefined}>
                <button class="reads" onClick={() => setBy(by?.column === i ? (by.down ? null : { column: i, down: true }) : { column: i, down: false })}>
                  {c.name}
                  {by?.column === i ? (by.down ? " ↓" : " ↑") : ""}
                </button>
                <span class="unit">{unitOf(c)}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.slice(from, from + most).map((d) => (
            <tr key={d.number} class={d.meets ? undefined : "misses"}>
              <th scope="row">
                {opens && !d.failed ? (
                  <a
                    href={`/will?run=${encodeURIComponent(`${study}#${d.number}`)}`}
                    onClick={(e) => {
                      e.preventDefault();
                      open(study, d.number);
                    }}
                    aria-label={`open variant ${d.number}`}
                  >
                    {d.number}
                  </a>
                ) : (
                  d.number
                )}
              </th>
              {columns.map((c, i) => (
                <td key={i}>{d.failed && c.is === "response" ? "none" : cell(c, d.values[i])}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {misses && <p class="small">Pale rows do not meet the constraints.</p>}
      {dots.length > most && (
        <p class="verbs small">
          <button disabled={from === 0} onClick={() => setFrom(Math.max(0, from - most))}>
            before
          </button>
          <span>
            {from + 1} to {Math.min(dots.length, from + most)} of {dots.length}
          </span>
          <button disabled={from + most >= dots.length} onClick={() => setFrom(from + most)}>
            after
          </button>
        </p>
      )}
    </div>
  );
}

function unitOf(c: Column): string {
  if (c.words !== undefined || c.unit === "1") return "";
  return c.is === "response" ? reading(c.unit).name : c.unit;
}

function cell(c: Column, x: number | null | undefined): string {
  if (x === null || x === undefined) return "none";
  if (c.words !== undefined) return amount(c, x);
  return c.is === "response" ? bare(x, c.unit) : short(x);
}

function sorted(dots: Dot[], column: number, down: boolean): Dot[] {
  const value = (d: Dot) => (d.failed ? NaN : (d.values[column] ?? NaN));
  return [...dots].sort((a, b) => {
    const [x, y] = [value(a), value(b)];
    if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y));
    return down ? y - x : x - y;
  });
}
