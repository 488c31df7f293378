// What each number of open circuits can give: height is the block's temperature, width the heat or the steam that they give there.
// Beside it for how long what is wanted can be held.
import { far, goesOn, startJob, stopJob } from "../sheet/jobs";
import { fixed, ofDay, shown, span } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { SaveFigure } from "../sheet/save";
import { apart, digitsOf, stepOf, ticks } from "../sheet/scale";
import { name as runName, tried } from "../sheet/state";
import { reading } from "../sheet/units";
import { line, type Point } from "./draw";
import { type Circuits, type Day, jobOf } from "./store";
import { tint } from "./tint";

const left = 54;
const right = 26;
const top = 34;
const bottom = 40;
const high = 300;

/** px of a letter of a name on a ground of its own, about */
const letter = 6.2;

/** how many bands of colour stand between two temperatures that were looked at */
const bands = 6;

/** reach is the temperature of the block down to which so many circuits can give what is wanted, between those that were looked at;
 * NaN: not even at the hottest. */
export function reach(c: Circuits, n: number): number {
  const most = c.even.map((e) => e.most[n] ?? 0);
  if (!((most[0] ?? 0) >= c.wanted)) return NaN;
  for (let i = 1; i < most.length; i++) {
    if (most[i]! >= c.wanted) continue;
    const share = (most[i - 1]! - c.wanted) / Math.max(most[i - 1]! - most[i]!, 1e-300);
    return c.even[i - 1]!.block_degC + share * (c.even[i]!.block_degC - c.even[i - 1]!.block_degC);
  }
  return c.even.at(-1)!.block_degC;
}

/** between is a value at so many bands along the temperatures that were looked at. */
function between(values: number[], k: number): number {
  const i = Math.min(Math.floor(k / bands), values.length - 2);
  const f = k / bands - i;
  return values[i]! + f * (values[i + 1]! - values[i]!);
}

export function Able({ c, d, now }: { c: Circuits; d: Day; now: number | null }) {
  const [box, room] = useRoom<HTMLDivElement>(1, 360);
  const wide = room === 0 ? 560 : room;
  const T = reading("degC");
  const Q = reading(c.unit);
  const numbers = c.even[0]!.most.map((_, n) => n);
  const most = Math.max(...c.even.flatMap((e) => e.most), c.wanted);
  const lowest = Math.min(c.serves_degC, c.even.at(-1)!.block_degC);
  const y = (v: number) => top + ((c.hottest_degC - v) / Math.max(1e-9, c.hottest_degC - lowest)) * (high - top - bottom);
  const x = (v: number) => left + (Q.of(v) / Q.of(most * 1.04)) * (wide - left - right);
  const temperatures = c.even.map((e) => e.block_degC);
  const last = numbers.length - 1;
  const steps = Array.from({ length: (c.even.length - 1) * bands }, (_, k) => k);
  const curve = (of: "least" | "most", n: number) => c.even.map((e): Point => [x(e[of][n] ?? 0), y(e.block_degC)]);
  const tTicks = ticks(T.of(lowest), T.of(c.hottest_degC), 6);
  const tDigits = digitsOf(stepOf(tTicks));
  const back = (v: number) => v - T.of(0);
  const qTicks = ticks(0, Q.of(most * 1.04), Math.max(3, Math.floor(wide / 90)));
  const qDigits = digitsOf(stepOf(qTicks));
  const px = (v: number) => left + (v / Q.of(most * 1.04)) * (wide - left - right);
  const reaches = numbers.map((n) => reach(c, n));
  const ends = apart(
    reaches.map((r) => (Number.isNaN(r) ? top : y(r))),
    14,
    top + 6,
    high - bottom - 4,
  );
  const says = (n: number) => `${n + 1} down to ${shown(reaches[n]!, "degC")}`;
  return (
    <figure class="able">
      <figcaption>
        <b>What open circuits can give</b>
      </figcaption>
      <div ref={box}>
        <svg
          width={wide}
          height={high}
          viewBox={`0 0 ${wide} ${high}`}
          role="img"
          aria-label={`${c.of} over the block's temperature, with 1 to ${numbers.length} circuits open; the table beneath holds the same numbers`}
        >
          {steps.map((k) => {
            const [a, b] = [between(temperatures, k), between(temperatures, k + 1)];
            const least = c.even.map((e) => e.least[0] ?? 0);
            const all = c.even.map((e) => e.most[last] ?? 0);
            const corners: Point[] = [
              [x(between(least, k)), y(a)],
              [x(between(all, k)), y(a)],
              [x(between(all, k + 1)), y(b) + 0.4],
              [x(between(least, k + 1)), y(b) + 0.4],
            ];
            return <path key={k} d={`${line(corners)}Z`} fill={tint((a + b) / 2, d.colours_degC)} shape-rendering="crispEdges" />;
          })}
          {tTicks.map((v, i) => (
            <g key={v}>
              <line class="hair" x1={left - 4} x2={left} y1={y(back(v))} y2={y(back(v))} />
              <text class="tick end" x={left - 7} y={y(back(v)) + 4}>
                {fixed(v, tDigits)}
                {i === tTicks.length - 1 ? `\u2009${T.name}` : ""}
              </text>
            </g>
          ))}
          <line class="edge" x1={left} x2={left} y1={top} y2={high - bottom} />
          <line class="edge" x1={left} x2={wide - right} y1={high - bottom} y2={high - bottom} />
          {qTicks.map((v, i) => (
            <g key={v}>
              <line class="edge" x1={px(v)} x2={px(v)} y1={high - bottom} y2={high - bottom + 4} />
              <text class="tick mid" x={px(v)} y={high - bottom + 17}>
                {fixed(v, qDigits)}
                {i === qTicks.length - 1 ? `\u2009${Q.name}` : ""}
              </text>
            </g>
          ))}
          <text class="name end" x={wide - right} y={high - 4}>
            {c.of === "steam" ? "steam from an even block" : "heat from an even block"}
          </text>
          {numbers.map((n) => (
            <g key={n}>
              <path class="most" d={line(curve("most", n))} />
              <path class="least" d={line(curve("least", n))} />
              <text class="over mid" x={x(c.even[0]!.most[n] ?? 0)} y={top - 6}>
                {n + 1} open
              </text>
            </g>
          ))}
          <line class="wanted" x1={x(c.wanted)} x2={x(c.wanted)} y1={top - 18} y2={high - bottom} />
          <text class="wantedname" x={x(c.wanted)} y={top - 22}>
            {`wanted ${shown(c.wanted, c.unit)}`}
          </text>
          {numbers.map((n) =>
            Number.isNaN(reaches[n]!) ? null : (
              <g key={n}>
                <circle class="reach" cx={x(c.wanted)} cy={y(reaches[n]!)} r={3} />
                <rect class="ground" x={x(c.wanted) + 6} y={ends[n]! - 7} width={says(n).length * letter} height={14} />
                <text class="over" x={x(c.wanted) + 9} y={ends[n]! + 4}>
                  {says(n)}
                </text>
              </g>
            ),
          )}
          {now !== null && now <= c.hottest_degC && now >= lowest && (
            <g data-cursor="" class="cursor">
              <line x1={left} x2={wide - right} y1={y(now)} y2={y(now)} />
              <path d={`M${left} ${y(now)}l-7 -4v8z`} />
            </g>
          )}
        </svg>
      </div>
      <p class="small">
        Broken lines: each open circuit at its least flow. The block counts as even; one that has given heat for a while is colder about its tubes, and gives less.
      </p>
      <details>
        <summary>the numbers</summary>
        <table class="numbers">
          <thead>
            <tr>
              <th scope="col">block</th>
              {numbers.map((n) => (
                <th key={n} scope="col">
                  {n + 1} open
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {c.even.map((e) => (
              <tr key={e.block_degC}>
                <th scope="row">{shown(e.block_degC, "degC")}</th>
                {numbers.map((n) => (
                  <td key={n}>
                    {fixed(Q.of(e.least[n] ?? 0), Q.digits)} to {shown(e.most[n], c.unit)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </details>
      <SaveFigure file={`${runName.value.replace(/\.ya?ml$/, "")}-open-circuits`} />
    </figure>
  );
}

/** Held says for how long what is wanted can be held, as dimension lines of time; it is computed when it is asked for. */
export function Held({ c }: { c: Circuits }) {
  const [box, room] = useRoom<HTMLDivElement>(1, 240);
  const wide = room === 0 ? 320 : room;
  const file = runName.value;
  const j = jobOf(file);
  const h = c.held;
  const most = Math.max(1, ...(h?.held_s ?? []).map((s) => s ?? 0));
  const asks = (label: string) => (
    <p class="verbs">
      <button onClick={() => void tried(startJob("run", file, true, { circuits: true }))}>{label}</button>
      <span class="small">computes the run and one drain for each number, and keeps them as results</span>
    </p>
  );
  const x = (s: number) => 54 + (s / most) * (wide - 54 - 84);
  const lasts = (s: number | null) => (s === null || s < 1 ? "not at all" : span(s));
  return (
    <section class="held" aria-label="How long it can be held">
      <h3>How long {shown(c.wanted, c.unit)} can be held</h3>
      {h !== undefined && (
        <>
          <p class="small">
            from {shown(h.full_degC, "degC")} everywhere, light off, cover shut{Math.abs(h.asked - c.wanted) <= 1e-6 * c.wanted ? "" : `; ${shown(h.asked, c.unit)} were wanted then`}
          </p>
          <div ref={box}>
            <svg width={wide} height={22 * h.held_s.length + 6} viewBox={`0 0 ${wide} ${22 * h.held_s.length + 6}`} role="img" aria-label={h.held_s.map((s, n) => `${n + 1} open: ${lasts(s)}`).join(", ")}>
              {h.held_s.map((s, n) => {
                const yy = 14 + 22 * n;
                const end = x(s ?? 0);
                return (
                  <g key={n}>
                    <text class="tick end" x={46} y={yy + 4}>
                      {n + 1} open
                    </text>
                    <line class="dimension" x1={54} x2={54} y1={yy - 7} y2={yy + 7} />
                    <line class="dimension" x1={54} x2={end} y1={yy} y2={yy} />
                    <line class="dimension" x1={end} x2={end} y1={yy - 7} y2={yy + 7} />
                    {end - 54 > 18 && <path class="arrow" d={`M54 ${yy}l8 -1.3v2.6zM${end} ${yy}l-8 -1.3v2.6z`} />}
                    <text class="value" x={end + 6} y={yy + 4}>
                      {lasts(s)}
                    </text>
                  </g>
                );
              })}
            </svg>
          </div>
          <SaveFigure file={`${file.replace(/\.ya?ml$/, "")}-held`} />
          {h.changed.length > 0 && (
            <p role="note" class="stale">
              Changed since: {h.changed.join(", ")}. These times are those of the files as they were.
            </p>
          )}
          <p class="small">
            {h.folder}, {ofDay(new Date(h.at))}
          </p>
        </>
      )}
      {goesOn(j) ? (
        <p class="verbs">
          <button onClick={() => void tried(stopJob(file))}>stop</button>
          <span role="status">{far(j!)}</span>
        </p>
      ) : (
        <>
          {j !== undefined && (j.state === "failed" || j.state === "mistaken") && (
            <p class="mistake" role="alert">
              {j.message} {j.fix}
            </p>
          )}
          {j?.state === "stopped" && <p role="status">Stopped; nothing is said of how long.</p>}
          {(h === undefined || h.changed.length > 0) && asks(h === undefined ? "compute how long" : "compute it again")}
        </>
      )}
    </section>
  );
}
