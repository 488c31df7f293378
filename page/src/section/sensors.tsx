// What the sensors on the drawing read at the cursor: computed in ink; measured, where a trial is laid over, behind an open mark.
import { signal } from "@preact/signals";
import type { History } from "../sheet/bench";
import { clock, fixed, shown } from "../sheet/numbers";
import { run } from "../sheet/state";

/** what a trial that is laid over measured at the cursor, °C, by the sensor's name; null: nothing is laid over */
export const measured = signal<Record<string, number | null> | null>(null);

export function Sensors({ h, row }: { h: History; row: number }) {
  const r = run.value;
  if (r === null || r.sensors.length === 0) return null;
  const over = measured.value;
  return (
    <table class="sensors">
      <caption>Sensors at {clock(h.time_s[row] ?? 0)}</caption>
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
          const there = over?.[s.name];
          return (
            <tr key={s.name}>
              <td>
                <b class="spot">{s.number}</b>
              </td>
              <th scope="row">{s.name}</th>
              <td class={r.coarse ? "unsettled" : undefined}>{shown(here, "degC")}</td>
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
