// What the sensors on the drawing read at the cursor: computed in ink; measured, where a trial is laid over, behind an open mark.
import type { History } from "../sheet/bench";
import { clock, fixed, shown } from "../sheet/numbers";
import { unsettled } from "../sheet/standing";
import { run } from "../sheet/state";
import { rowAt } from "../sheet/times";
import type { Beside } from "../strip/laid";
import { laid } from "../strip/store";

/** reads is what a column of a trial says at a time in s: its last row at or before it. */
function reads(over: Beside, name: string, time: number): number | null | undefined {
  return over.columns.find((c) => c.name === name)?.values[rowAt(over.time_s, time)];
}

export function Sensors({ h, row }: { h: History; row: number }) {
  const r = run.value;
  if (r === null || r.sensors.length === 0) return null;
  const over = laid.value?.measured === true ? laid.value : null;
  const time = h.time_s[row] ?? 0;
  return (
    <table class="sensors">
      <caption>Sensors at {clock(time)}</caption>
      {over !== null && (
        <thead>
          <tr>
            <td colSpan={2} />
            <th scope="col">computed</th>
            <th scope="col">measured</th>
            <th scope="col">apart, K</th>
          </tr>
        </thead>
      )}
      <tbody>
        {r.sensors.map((s) => {
          const here = h.columns.find((c) => c.name === s.name)?.values[row];
          const there = over === null ? null : reads(over, s.name, time);
          return (
            <tr key={s.name}>
              <td>
                <b class="spot">{s.number}</b>
              </td>
              <th scope="row">{s.name}</th>
              <td class={unsettled(r) ? "unsettled" : undefined}>{shown(here, "degC")}</td>
              {over !== null && <td class="measured">{there != null ? `○ ${shown(there, "degC")}` : ""}</td>}
              {over !== null && <td>{here != null && there != null ? apart(here - there) : ""}</td>}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

const apart = (k: number) => (k > 0 ? "+" : "") + fixed(k, 1);
