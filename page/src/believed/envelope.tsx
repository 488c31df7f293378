// Where a match was shown to hold: each range a dimension line, on a scale of its own from nothing; beneath it, as a bar, where the
// run that is looked at goes.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../sheet/ask";
import { bare, share, shown } from "../sheet/numbers";
import { SaveFigure } from "../sheet/save";
import { run, tried } from "../sheet/state";
import type { Shown } from "./match";

/** files says a number of SI in the unit of the files. */
const files = (x: number, unit: string): [number, string] => (unit === "K" ? [x - 273.15, "degC"] : unit === "rad" ? [(x * 180) / Math.PI, "deg"] : [x, unit]);

const line = 40;
const wide = 560;
const from = 190;
const to = 420;

type Range = NonNullable<Shown["ranges"]>[number];

/** useRun is what the run that is looked at goes through, when it has come to its end. */
function useRun(): { title: string; ranges: Range[] } | null {
  const [got, set] = useState<{ title: string; ranges: Range[] } | null>(null);
  const r = run.value;
  const of = r?.drawn === true ? `${r.run} ${r.answer}` : "";
  useEffect(() => {
    if (of === "" || r === null) return set(null);
    let old = false;
    void tried(ask<{ ranges: Range[] }>("run/envelope", { name: r.run })).then((a) => old || set(a === undefined ? null : { title: r.title, ranges: a.ranges }));
    return () => void (old = true);
  }, [of]);
  return got;
}

/** beyond says by how much a run leaves a range; empty: it does not. */
function beyond(r: Range, now: Range): string {
  const over = now.high - r.high;
  const under = r.low - now.low;
  const by = Math.max(over, under);
  if (!(by > 1e-3 * Math.max(r.high - r.low, 1e-9 * Math.abs(r.high)))) return "";
  if (r.unit === "1") return `${share(by)} ${over >= under ? "above" : "below"}`;
  const [apart, unit] = r.unit === "K" ? [by, "K"] : [files(by, r.unit)[0], files(0, r.unit)[1]];
  return `${shown(apart, unit)} ${over >= under ? "above" : "below"}`;
}

export function Envelope({ e }: { e: Shown }) {
  const now = useRun();
  const ranges = e.ranges ?? [];
  if (ranges.length === 0) return null;
  return (
    <section aria-label="Where that was shown">
      <h2>
        Where that was shown <small>{(e.trials ?? []).join(", ")}</small>
      </h2>
      {now !== null && <p class="note">The bars are where the run goes that is looked at, {now.title}.</p>}
      <svg width={wide} height={ranges.length * line + 4} viewBox={`0 0 ${wide} ${ranges.length * line + 4}`} role="img" aria-label={ranges.map((r) => `${r.name} ${text(r.low, r.unit)} to ${text(r.high, r.unit)}`).join("; ")}>
        {ranges.map((r, i) => (
          <Line key={r.name} r={r} now={now?.ranges.find((n) => n.name === r.name)} y={i * line + 20} />
        ))}
      </svg>
      <SaveFigure file="where-it-was-shown" />
      {(e.states ?? []).length > 0 && <p class="states">Shown with: {e.states!.join(", ")}.</p>}
    </section>
  );
}

function Line({ r, now, y }: { r: Range; now: Range | undefined; y: number }) {
  const [low] = files(r.low, r.unit);
  const [high] = files(r.high, r.unit);
  const [nowLow, nowHigh] = now === undefined ? [low, high] : [files(now.low, r.unit)[0], files(now.high, r.unit)[0]];
  const least = Math.min(0, low, nowLow);
  const most = Math.max(high, nowHigh, 0) * 1.08 || 1;
  const x = (v: number) => from + ((to - from) * (v - least)) / (most - least);
  const [a, b] = [x(low), x(high)];
  const one = b - a < 3;
  const said = one ? text(r.low, r.unit) : `${r.unit === "1" ? text(r.low, r.unit) : bare(low, files(r.low, r.unit)[1])} to ${text(r.high, r.unit)}`;
  const middle = Math.min(Math.max((a + b) / 2, from + 3 * said.length), to - 3 * said.length);
  const off = now === undefined ? "" : beyond(r, now);
  const bar = (v: number, w: number) => <path class="run" d={`M${x(v)} ${y + 9}H${Math.max(x(v) + 2, x(w))}`} />;
  return (
    <g>
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
      {now !== undefined && bar(nowLow, nowHigh)}
      {off !== "" && (
        <>
          <path class="sign" d={`M${to + 12} ${y + 13}l6 -11l6 11Z`} />
          <text class="number" x={to + 30} y={y + 13}>
            {off}
          </text>
        </>
      )}
    </g>
  );
}

function text(x: number, unit: string): string {
  if (unit === "1") return share(x);
  const [v, u] = files(x, unit);
  return shown(v, u);
}
