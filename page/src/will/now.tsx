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
  const time = h.time_s[row] ?? 0;
  const lost = h.columns.filter((c) => c.name.startsWith("lost "));
  const told = Object.entries(ofCircuit).filter(([end]) => circuits.some((n) => named(`circuit ${n} ${end}`) !== undefined));
  return (
    <section class="now" aria-label="Numbers at the cursor">
      <table>
        <caption>At {clock(time)}</caption>
        <tbody>
          {ofBlock.map((n) => named(n)).map((c) => c !== undefined && <Row key={c.name} says={c.name} of={[c]} row={row} time={time} />)}
        </tbody>
      </table>
      {lost.length > 0 && (
        <table>
          <caption>Lost by</caption>
          <tbody>
            {lost.map((c) => (
              <Row key={c.name} says={c.name.slice(5)} of={[c]} row={row} time={time} />
            ))}
          </tbody>
        </table>
      )}
      {circuits.length > 0 && (
        <div class="circuits" tabIndex={circuits.length > 4 ? 0 : undefined}>
          <table>
            <thead>
              <tr>
                <th scope="col">circuit</th>
                {circuits.map((n) => (
                  <th key={n} scope="col">
                    {n}
                  </th>
                ))}
                <td />
              </tr>
            </thead>
            <tbody>
              {told.map(([end, says]) => (
                <Row key={end} says={says} of={circuits.map((n) => named(`circuit ${n} ${end}`))} row={row} time={time} />
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

/** Row is what is told of one thing, or of several of a kind, and beside it the sign of the danger that its numbers show. */
function Row({ says, of, row, time }: { says: string; of: (Column | undefined)[]; row: number; time: number }) {
  const pale = run.value !== null && unsettled(run.value) ? "unsettled" : undefined;
  const more = of.filter((c) => (c?.values[row] ?? 0) > 0).map((c) => c!.name);
  return (
    <tr>
      <th scope="row">{says}</th>
      {of.map((c, i) => (
        <td key={i} class={pale}>
          {c !== undefined && value(c, c.values[row])}
        </td>
      ))}
      <td class="signs">{more.length > 0 && <Sign columns={more} time={time} />}</td>
    </tr>
  );
}
