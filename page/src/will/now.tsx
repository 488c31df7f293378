// The numbers of the cursor's moment: the block, the circuits, the losses. At a number that shows a danger stands its sign.
import type { History } from "../sheet/bench";
import { clock, share, shown } from "../sheet/numbers";
import { unsettled } from "../sheet/standing";
import { run } from "../sheet/state";
import { Sign } from "./cautions";
import "./now.css";

type Column = History["columns"][number];

const ofBlock = ["block mean", "melted", "absorbed", "heat to passes"];

/** what is told of a circuit, as the ends of its columns' names, and how the table calls it */
const ofCircuit = { outlet: "outlet", "wall max": "hottest wall", quality: "water", steam: "steam" };

/** quality says in words how far water has boiled: beyond liquid and dry steam the number is none that a hand can use. */
function quality(x: number | null | undefined): string {
  if (x === null || x === undefined) return "";
  if (x <= 0) return "liquid";
  return x >= 1 ? "dry steam" : `${share(x)} steam`;
}

/** value writes what a column holds; a share of one is a per cent. */
function value(c: Column, x: number | null | undefined): string {
  if (c.name.endsWith(" quality")) return quality(x);
  return c.unit === "1" && x != null ? share(x) : shown(x, c.unit);
}

export function Now({ h, row }: { h: History; row: number }) {
  const circuits = [...new Set(h.columns.map((c) => /^circuit (.*) outlet$/.exec(c.name)?.[1]).filter((n) => n !== undefined))];
  const named = (name: string) => h.columns.find((c) => c.name === name);
  const cell = (c: Column | undefined) => <Cell c={c} x={c?.values[row]} time={h.time_s[row] ?? 0} />;
  const lost = h.columns.filter((c) => c.name.startsWith("lost "));
  const told = Object.entries(ofCircuit).filter(([end]) => circuits.some((n) => named(`circuit ${n} ${end}`) !== undefined));
  return (
    <section class="now" aria-label="Numbers at the cursor">
      <table>
        <caption>At {clock(h.time_s[row] ?? 0)}</caption>
        <tbody>
          {ofBlock.map((n) => named(n)).map((c) => c !== undefined && (
            <tr key={c.name}>
              <th scope="row">{c.name}</th>
              {cell(c)}
            </tr>
          ))}
        </tbody>
      </table>
      {lost.length > 0 && (
        <table>
          <caption>Lost by</caption>
          <tbody>
            {lost.map((c) => (
              <tr key={c.name}>
                <th scope="row">{c.name.slice(5)}</th>
                {cell(c)}
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {circuits.length > 0 && (
        <table>
          <thead>
            <tr>
              <th scope="col">circuit</th>
              {told.map(([end, says]) => (
                <th key={end} scope="col" colSpan={2}>
                  {says}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {circuits.map((n) => (
              <tr key={n}>
                <th scope="row">{n}</th>
                {told.map(([end]) => cell(named(`circuit ${n} ${end}`)))}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

/** Cell is a number and, beside it, the sign of the danger that it shows. */
function Cell({ c, x, time }: { c: Column | undefined; x: number | null | undefined; time: number }) {
  return (
    <>
      <td class={run.value !== null && unsettled(run.value) ? "unsettled" : undefined}>{c !== undefined && value(c, x)}</td>
      <td class="signs">{c !== undefined && x != null && x > 0 && <Sign column={c.name} time={time} />}</td>
    </>
  );
}
