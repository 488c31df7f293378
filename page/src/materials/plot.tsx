// Curves whose height is temperature and whose width is what they are of, so that a straight-edge laid across several of them
// reads true. What is kept beyond the range in which it holds is dashed.
import { fixed, shown } from "../sheet/numbers";
import { digitsOf, stepOf, ticks } from "../sheet/scale";
import { reading } from "../sheet/units";
import type { Point } from "./matter";

export interface Line {
  label: string;
  points: Point[];
  /** degC, where it holds; none: all of it */
  from?: number | undefined;
  to?: number | undefined;
  kind?: "plain" | "mixed";
  /** relative half-width at 95 % */
  spread?: number | undefined;
}

export interface Level {
  at: number;
  says: string;
}

const foot = 34;
const head = 22;

interface Props {
  title: string;
  unit: string;
  lines: Line[];
  low: number;
  high: number;
  width: number;
  height: number;
  /** whether the temperature's numbers stand at its left */
  axis?: boolean;
  levels?: Level[];
  melts?: [number, number] | undefined;
  /** where the width ends; none: at the largest value */
  most?: number | undefined;
  /** a width that is wanted, with the temperatures at which lines reach it */
  wanted?: { value: number; says: string; reached: Level[] } | undefined;
}

export function Plot({ title, unit, lines, low, high, width, height, axis = false, levels = [], melts, most, wanted }: Props) {
  const left = axis ? 46 : 10;
  const right = width - 14;
  const bottom = height - foot;
  const inside = lines.flatMap((l) => l.points.filter((p) => p[0] >= low - 1 && p[0] <= high + 1).map((p) => p[1]));
  const end = most ?? (Math.max(...inside, 0) * 1.08 || 1);
  const start = Math.min(0, ...inside);
  const X = (v: number) => left + ((v - start) / (end - start)) * (right - left);
  const Y = (t: number) => bottom - ((t - low) / (high - low)) * (bottom - head);
  const path = (points: Point[]) => points.map((p, i) => `${i === 0 ? "M" : "L"}${X(p[1]).toFixed(1)} ${Y(p[0]).toFixed(1)}`).join("");
  const shownT = reading("degC");
  const across = ticks(start, end, Math.max(2, Math.round((right - left) / 62)));
  const digits = digitsOf(stepOf(across));
  return (
    <svg class="plot" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`${title} in ${unit} over temperature: ${lines.map((l) => `${l.label} ${said(l)}`).join("; ")}`}>
      <text class="plottitle" x={left} y={12}>
        {title}
        <tspan class="unit"> {unit}</tspan>
      </text>
      {ticks(shownT.of(low), shownT.of(high), 6).map((t) => {
        const y = Y(t - shownT.of(0));
        return (
          <g key={t}>
            <line class="grid" x1={left} x2={right} y1={y} y2={y} />
            {axis && (
              <text class="tick" x={left - 6} y={y + 3.5} text-anchor="end">
                {fixed(t, 0)}
              </text>
            )}
          </g>
        );
      })}
      {axis && (
        <text class="tick" x={left - 6} y={12} text-anchor="end">
          {shownT.name}
        </text>
      )}
      {melts !== undefined && <rect class="melts" x={left} width={right - left} y={Y(melts[1])} height={Math.max(1, Y(melts[0]) - Y(melts[1]))} />}
      {levels.map((l) => (
        <g key={l.says}>
          <line class="level" x1={left} x2={right} y1={Y(l.at)} y2={Y(l.at)} />
          {axis && (
            <text class="levelname" x={left + 3} y={Y(l.at) - 3}>
              {l.says}
            </text>
          )}
        </g>
      ))}
      <line class="frame" x1={left} x2={right} y1={bottom} y2={bottom} />
      <line class="frame" x1={left} x2={left} y1={head} y2={bottom} />
      {across.map((v) => (
        <g key={v}>
          <line class="frame" x1={X(v)} x2={X(v)} y1={bottom} y2={bottom + 4} />
          <text class="tick" x={X(v)} y={bottom + 16} text-anchor="middle">
            {fixed(v, digits)}
          </text>
        </g>
      ))}
      {lines.map((l, i) => (
        <Drawn key={l.label} l={l} i={i} path={path} X={X} Y={Y} low={low} high={high} right={right} />
      ))}
      {wanted !== undefined && wanted.value <= end && (
        <g class="wanted">
          <line x1={X(wanted.value)} x2={X(wanted.value)} y1={head} y2={bottom} />
          <text x={X(wanted.value) + 4} y={head + 9}>
            {wanted.says}
          </text>
          {wanted.reached
            .filter((r) => r.at >= low && r.at <= high)
            .map((r) => (
              <g key={r.says}>
                <circle cx={X(wanted.value)} cy={Y(r.at)} r={3} />
                <text x={X(wanted.value) + 7} y={Y(r.at) + 4}>
                  {r.says}
                </text>
              </g>
            ))}
        </g>
      )}
    </svg>
  );
}

const said = (l: Line) => {
  const a = l.points[0];
  const b = l.points.at(-1);
  return a === undefined || b === undefined ? "" : `from ${fixed(a[1], 2)} at ${shown(a[0], "degC")} to ${fixed(b[1], 2)} at ${shown(b[0], "degC")}`;
};

function Drawn({ l, i, path, X, Y, low, high, right }: { l: Line; i: number; path: (p: Point[]) => string; X: (v: number) => number; Y: (t: number) => number; low: number; high: number; right: number }) {
  const points = l.points.filter((p) => p[0] >= low - 1e-6 && p[0] <= high + 1e-6);
  const from = l.from ?? -Infinity;
  const to = l.to ?? Infinity;
  const below = points.filter((p) => p[0] <= from + 1e-6);
  const within = points.filter((p) => p[0] >= from - 1e-6 && p[0] <= to + 1e-6);
  const above = points.filter((p) => p[0] >= to - 1e-6);
  // names stand beside their lines, each at a height of its own
  const named = within.length > 0 ? within : points;
  const height = named.length > 0 ? named[0]![0] + (named.at(-1)![0] - named[0]![0]) * (0.92 - 0.17 * i) : 0;
  const at = named.find((p) => p[0] >= height) ?? named.at(-1);
  const x = at === undefined ? 0 : X(at[1]);
  const wide = 6.5 * l.label.length;
  const flip = l.kind === "plain" ? x - wide > 60 : x + wide > right;
  const s = l.spread ?? 0;
  return (
    <g class={`line ${l.kind ?? "mixed"}`}>
      {s > 0 && within.length > 1 && <path class="band" d={path(within.map(([t, v]): Point => [t, v * (1 - s)])) + path([...within].reverse().map(([t, v]): Point => [t, v * (1 + s)])).replace("M", "L") + "Z"} />}
      {below.length > 1 && <path class="beyond" d={path(below)} />}
      {within.length > 1 && <path d={path(within)} />}
      {above.length > 1 && <path class="beyond" d={path(above)} />}
      {at !== undefined && (
        <text class="linename" x={flip ? x - 5 : x + 5} y={Y(at[0]) + 4} text-anchor={flip ? "end" : "start"}>
          {l.label}
        </text>
      )}
    </g>
  );
}
