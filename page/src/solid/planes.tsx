// The planes of the cut: whether each cuts, which side of it is taken away, and where it stands.
import { fixed } from "../sheet/numbers";
import type { Cells } from "./cells";
import { axes, cut, inHand, setCut, sides, type Cut } from "./cut";

export function Planes({ cells }: { cells: Cells }) {
  const planes = cut(cells);
  const change = (a: number, to: Partial<Cut[number]>) => {
    inHand.value = a as 0 | 1 | 2;
    setCut(planes.map((p, i) => (i === a ? { ...p, ...to } : p)) as Cut);
  };
  return (
    <table class="planes">
      <caption class="heard">What is taken away: all that lies beyond every plane that cuts</caption>
      <tbody>
        {axes.map((axis, a) => {
          const p = planes[a]!;
          const l = cells.lines_m[a]!;
          return (
            <tr key={axis} class={inHand.value === a ? "in-hand" : undefined}>
              <th scope="row">
                <label>
                  <input type="checkbox" checked={p.on} onChange={(e) => change(a, { on: (e.target as HTMLInputElement).checked })} /> {axis}
                </label>
              </th>
              <td>
                <button disabled={!p.on} aria-label={`the ${sides[a]![p.side]} of it is taken away: take the ${sides[a]![1 - p.side]} instead`} onClick={() => change(a, { side: p.side === 0 ? 1 : 0 })}>
                  {sides[a]![p.side]}
                </button>
              </td>
              <td>
                <input
                  type="range"
                  aria-label={`where the plane across the ${axis} stands`}
                  aria-valuetext={`${fixed(p.at * 1e3, 0)} mm`}
                  min={l[0]!}
                  max={l.at(-1)!}
                  step={0.001}
                  value={p.at}
                  onInput={(e) => change(a, { on: true, at: Number((e.target as HTMLInputElement).value) })}
                />
              </td>
              <td>
                <output class={p.on ? undefined : "unsettled"}>{fixed(p.at * 1e3, 0)}&#8201;mm</output>
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
