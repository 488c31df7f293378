// Every variant as a dot: its place on what is varied, its height what was read off it. While a study is computed its dots
// fill in; those to come wait as rings beneath. A dot opens its variant.
import { fixed } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { SaveFigure } from "../sheet/save";
import { digitsOf, stepOf, ticks } from "../sheet/scale";
import { reading } from "../sheet/units";
import { amount, type Column, short } from "./studies";
import { open } from "./variants";

export interface Dot {
  /** from 1 */
  number: number;
  values: (number | null)[];
  meets: boolean;
  failed: boolean;
}

interface Props {
  study: string;
  columns: Column[];
  /** of each axis that has some */
  levels: number[][];
  dots: Dot[];
  /** of the column that is the height */
  read: number;
  /** how many there will be */
  count: number;
  /** they are asked for one after another: the order is what they stand over */
  inOrder: boolean;
  /** a dot can be opened */
  opens: boolean;
}

const left = 62;
const right = 14;
const top = 22;
const bottom = 54;
const high = 420;

function span(values: number[], room: number): [number, number] {
  const low = Math.min(...values);
  const high = Math.max(...values);
  if (!(high > low)) return [low - Math.max(1e-9, Math.abs(low) * 0.05), high + Math.max(1e-9, Math.abs(high) * 0.05)];
  return [low - room * (high - low), high + room * (high - low)];
}

export function Dots({ study, columns, levels, dots, read, count, inOrder, opens }: Props) {
  const [box, room] = useRoom<HTMLDivElement>(1, 320);
  const wide = room === 0 ? 560 : room; // until it is measured
  const y = columns[read];
  if (y === undefined) return <div ref={box} />;
  const x = inOrder ? undefined : columns[0];
  const unit = reading(y.unit);
  const at = (d: { number: number; values: (number | null)[] }) => (x === undefined ? d.number : (d.values[0] ?? NaN));
  const known = dots.filter((d) => !d.failed && typeof d.values[read] === "number");
  const planned = x === undefined ? [1, count] : levels[0] !== undefined && levels[0].length > 0 ? levels[0] : known.map(at);
  const [x0, x1] = span(planned.length > 0 ? planned : [0, 1], 0.03);
  const ratio = x !== undefined && byRatio(levels[0] ?? []);
  const [y0, y1] = span(known.length > 0 ? known.map((d) => unit.of(d.values[read]!)) : [0, 1], 0.08);
  const share = (v: number) => (ratio ? (Math.log(v) - Math.log(planned[0]!)) / (Math.log(planned.at(-1)!) - Math.log(planned[0]!)) : (v - x0) / (x1 - x0));
  const px = (v: number) => left + (ratio ? 8 + share(v) * (wide - left - right - 16) : share(v) * (wide - left - right));
  const py = (v: number) => high - bottom - ((unit.of(v) - y0) / (y1 - y0)) * (high - bottom - top);
  const base = high - bottom;
  const yTicks = ticks(y0, y1, 6);
  const digits = digitsOf(stepOf(yTicks));
  const come = new Set(dots.map((d) => d.number));
  const rings = waiting(x === undefined ? [] : (levels[0] ?? []), levels.slice(1), count, come);
  const xTicks = x?.words !== undefined ? x.words.map((_, i) => i) : ratio ? thinned(planned, Math.floor(wide / 80)) : ticks(x0, x1, Math.floor(wide / 90));
  const name = x === undefined ? "in the order of asking" : `${x.name}${x.words !== undefined || x.unit === "1" ? "" : `, ${x.unit}`}`;
  return (
    <>
      <div class="dots" ref={box}>
        <svg width={wide} height={high} viewBox={`0 0 ${wide} ${high}`} role="img" aria-label={`${y.name} of ${known.length} of ${count} variants over ${name}; the table holds the same numbers`}>
          {known.length > 0 &&
            yTicks.map((t) => {
              const at = high - bottom - ((t - y0) / (y1 - y0)) * (high - bottom - top);
              return (
                <g key={t}>
                  <line class="hair" x1={left} x2={wide - right} y1={at} y2={at} />
                  <text class="tick end" x={left - 7} y={at + 4}>
                    {fixed(t, digits)}
                  </text>
                </g>
              );
            })}
          <text class="name" x={8} y={13}>
            {y.name}
            <tspan class="unit">{unit.name === "" ? "" : `  ${unit.name}`}</tspan>
          </text>
          <line class="axis" x1={left} x2={wide - right} y1={base} y2={base} />
          {xTicks.map((t) => (
            <g key={t}>
              <line class="axis" x1={px(t)} x2={px(t)} y1={base} y2={base + 4} />
              <text class="tick mid" x={px(t)} y={base + 32}>
                {x?.words?.[t] ?? short(ratio ? Number(t.toPrecision(3)) : t)}
              </text>
            </g>
          ))}
          <text class="name end" x={wide - right} y={high - 4}>
            {name}
          </text>
          {rings.map((v, i) => (
            <circle key={i} class="tocome" cx={px(v)} cy={base + 12} r={3} />
          ))}
          {known.map((d) => (
            <circle
              key={d.number}
              class={(d.meets ? "dot" : "dot misses") + (opens ? " opens" : "")}
              cx={px(at(d))}
              cy={py(d.values[read]!)}
              r={known.length > 300 ? 2.2 : 3.6}
              onClick={opens ? () => open(study, d.number) : undefined}
            >
              <title>
                {`${d.number}: ${columns.map((c, i) => `${c.name} ${amount(c, d.values[i])}`).join(", ")}`}
              </title>
            </circle>
          ))}
          {dots.some((d) => d.failed) &&
            dots
              .filter((d) => d.failed)
              .map((d) => {
                const v = at(d);
                return Number.isFinite(v) && <path key={d.number} class="failed" d={`M${px(v) - 3.5},${base - 3.5}l7,7m0,-7l-7,7`} />;
              })}
        </svg>
      </div>
      {known.length > 0 && <SaveFigure file={`${study.replace(/\.ya?ml$/, "")}-variants`} />}
    </>
  );
}

/** byRatio tells whether levels rise by ratio rather than by difference. */
function byRatio(levels: number[]): boolean {
  const n = levels.length;
  if (n < 3 || !(levels[0]! > 0) || levels[n - 1]! < 4 * levels[0]!) return false;
  const steps = levels.slice(1).map((v, i) => v - levels[i]!);
  const ratios = levels.slice(1).map((v, i) => Math.log(v / levels[i]!));
  return Math.max(...ratios) / Math.min(...ratios) < Math.max(...steps) / Math.min(...steps);
}

function thinned(list: number[], most: number): number[] {
  const every = Math.max(1, Math.ceil(list.length / Math.max(1, most)));
  return list.filter((_, i) => i % every === 0);
}

/** waiting are the places on the first axis of variants that have no outcome yet; its value changes slowest. */
function waiting(first: number[], others: number[][], count: number, come: Set<number>): number[] {
  if (first.length === 0 || count > 5000) return [];
  const each = others.reduce((n, l) => n * Math.max(1, l.length), 1);
  const out = new Set<number>();
  for (let n = 0; n < count; n++) if (!come.has(n + 1)) out.add(first[Math.floor(n / each)] ?? first[0]!);
  return [...out];
}
