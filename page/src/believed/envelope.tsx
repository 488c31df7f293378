// Where a match was shown to hold: each range a dimension line, on a scale of its own from nothing.
import { bare, shown } from "../sheet/numbers";
import type { Shown } from "./match";

/** files says a number of SI in the unit of the files. */
const files = (x: number, unit: string): [number, string] => (unit === "K" ? [x - 273.15, "degC"] : unit === "rad" ? [(x * 180) / Math.PI, "deg"] : [x, unit]);

const line = 26;
const wide = 500;
const from = 190;
const to = 480;

export function Envelope({ e }: { e: Shown }) {
  const ranges = e.ranges ?? [];
  if (ranges.length === 0) return null;
  return (
    <section aria-label="Where that was shown">
      <h2>
        Where that was shown <small>{(e.trials ?? []).join(", ")}</small>
      </h2>
      <svg width={wide} height={ranges.length * line + 4} role="img" aria-label={ranges.map((r) => `${r.name} ${text(r.low, r.unit)} to ${text(r.high, r.unit)}`).join("; ")}>
        {ranges.map((r, i) => {
          const [low] = files(r.low, r.unit);
          const [high] = files(r.high, r.unit);
          const least = Math.min(0, low);
          const most = Math.max(high, 0) * 1.08 || 1;
          const x = (v: number) => from + ((to - from) * (v - least)) / (most - least);
          const y = i * line + 20;
          const [a, b] = [x(low), x(high)];
          const one = b - a < 3;
          const said = one ? text(r.low, r.unit) : `${bare(low, files(r.low, r.unit)[1])} to ${text(r.high, r.unit)}`;
          const middle = Math.min(Math.max((a + b) / 2, from + 3 * said.length), to - 3 * said.length);
          return (
            <g key={r.name}>
              <text class="name" x={0} y={y + 4}>
                {r.name}
              </text>
              <path class="hair" d={`M${from} ${y}H${to}`} />
              {one ? (
                <path class="thin" d={`M${a} ${y - 4}V${y + 4}`} />
              ) : (
                <path class="thin" d={`M${a} ${y - 5}V${y + 5}M${b} ${y - 5}V${y + 5}M${a} ${y}H${b}${b - a > 20 ? `M${a} ${y}l8 -2.5v5ZM${b} ${y}l-8 -2.5v5Z` : ""}`} />
              )}
              <text class="number" x={middle} y={y - 6} text-anchor="middle">
                {said}
              </text>
            </g>
          );
        })}
      </svg>
      <ul>
        {(e.states ?? []).map((s) => (
          <li key={s}>{s}</li>
        ))}
      </ul>
    </section>
  );
}

function text(x: number, unit: string): string {
  const [v, u] = files(x, unit);
  return shown(v, u);
}
