// What was measured over time: open marks, phases above as dimension lines with borders that can be moved, and below the light
// or power that went in and the heat flow to the water with its 95 %.
import { useEffect, useRef } from "preact/hooks";
import { clock, fixed } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { SaveFigure } from "../sheet/save";
import { apart, digitsOf, stepOf, ticks } from "../sheet/scale";
import { every, moments } from "../sheet/times";
import { reading } from "../sheet/units";
import { drawn, marksOf } from "./marks";
import type { Measured, Phase, Trial } from "./trials";

/** a phase as it stands on the sheet, moved or not */
export interface Stretch {
  kind: Phase["kind"];
  from_s: number;
  to_s: number;
}

const left = 46;
const right = 132;
const top = 44;
const temperatures = 236;
const heats = 92;
const between = 22;

const wet = (role: string) => role === "inlet" || role === "outlet";
const powers = new Set(["lamp power", "light power", "heater power"]);

interface Props {
  t: Trial;
  h: Measured;
  phases: Stretch[];
  selected: number;
  choose: (phase: number) => void;
  /** moves the border between two phases: while it is held, and when it is let go */
  move: (border: number, to: number, settled: boolean) => void;
}

export function Course(p: Props) {
  const [at, width] = useRoom<HTMLDivElement>();
  return (
    <div class="recorded" ref={at}>
      {width > 300 && (
        <>
          <Drawing {...p} width={width} />
          <SaveFigure file={`${p.t.trial.replace(/\.ya?ml$/, "")}-measured`} />
        </>
      )}
    </div>
  );
}

function Drawing({ t, h, phases, selected, choose, move, width }: Props & { width: number }) {
  const length = Math.max(t.record?.length_s ?? 0, 1);
  const x = (s: number) => left + ((width - left - right) * s) / length;
  const degrees = reading("degC");
  const temps = h.columns.filter((c) => c.unit === "degC");
  const all = temps.flatMap((c) => c.values.filter((v): v is number => v !== null));
  const low = Math.min(...thin(all), 0);
  const high = Math.max(...thin(all), low + 10);
  const y = (v: number) => top + temperatures - (temperatures * (v - low)) / (high - low);
  const sources = h.columns.filter((c) => powers.has(c.role));
  const most = Math.max(1, ...sources.flatMap((c) => thin(c.values.filter((v): v is number => v !== null))), ...t.flows.flatMap((f) => f.heat_W.map((v, i) => (v ?? 0) + (f.half_width_W[i] ?? 0))));
  const least = Math.min(0, ...t.flows.flatMap((f) => thin(f.heat_W.filter((v): v is number => v !== null))));
  const below = sources.length > 0 || t.flows.length > 0;
  const foot = top + temperatures + between;
  const w = (v: number) => foot + heats - (heats * (v - least)) / (most - least);
  const height = (below ? foot + heats : top + temperatures) + 22;
  const ends = apart(
    temps.map((c) => y(c.values.findLast((v) => v !== null) ?? low)),
    14,
    top + 6,
    top + temperatures,
  );
  return (
    <svg class="measured" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="group" aria-label={`Measured over ${clock(length)} hours: ${h.columns.map((c) => c.name).join(", ")}; ${phases.length} phases`}>
      <g class="hair">
        {moments(0, length, every(0, length, (width - left - right) / 90)).map((s) => (
          <g key={s}>
            <path d={`M${x(s)} ${top}V${height - 20}`} />
            <text class="tick" x={x(s)} y={height - 6} text-anchor="middle">
              {moment(s, length)}
            </text>
          </g>
        ))}
        {ticks(degrees.of(low), degrees.of(high), 5).map((v) => {
          const at = y(low + ((v - degrees.of(low)) / (degrees.of(high) - degrees.of(low))) * (high - low));
          return (
            <g key={v}>
              <path d={`M${left} ${at}H${width - right}`} />
              <text class="tick" x={left - 6} y={at + 3.5} text-anchor="end">
                {fixed(v, 0)}
              </text>
            </g>
          );
        })}
        <text class="tick" x={left - 6} y={top - 8} text-anchor="end">
          {degrees.name}
        </text>
      </g>
      {temps.map((c, i) => {
        const d = drawn(marksOf(h.time_s, c.values, x, y, 13, (13 * i) / temps.length), i);
        return (
          <g key={c.name} class={wet(c.role) ? "mark water" : "mark"}>
            <path class="spread" d={d.spread} />
            <path d={d.marks} />
            <path d={drawn([{ x: width - right + 9, y: ends[i]! - 3.5, top: 0, foot: 0 }], i).marks} />
            <text class="name" x={width - right + 18} y={ends[i]}>
              {short(c.name)}
            </text>
          </g>
        );
      })}
      {below && <Heats t={t} sources={sources} h={h} x={x} w={w} foot={foot} least={least} most={most} width={width} />}
      <Phases t={t} phases={phases} selected={selected} choose={choose} move={move} x={x} width={width} length={length} height={height} step={Math.max(t.record?.interval_s ?? 1, length / 2000)} />
    </svg>
  );
}

/** thin keeps what Math.min can take. */
function thin(v: number[]): number[] {
  if (v.length < 20000) return v;
  return [v.reduce((a, b) => Math.min(a, b), Infinity), v.reduce((a, b) => Math.max(a, b), -Infinity)];
}

const short = (name: string) => name.replace(/^circuit (.*) (inlet|outlet)$/, "$2 of $1");

/** moment writes a time of the record for the axis. */
function moment(s: number, length: number): string {
  return length < 600 ? `${fixed(s, 0)}\u2009s` : clock(s);
}

interface Below {
  t: Trial;
  h: Measured;
  sources: Measured["columns"];
  x: (s: number) => number;
  w: (v: number) => number;
  foot: number;
  least: number;
  most: number;
  width: number;
}

function Heats({ t, h, sources, x, w, foot, least, most, width }: Below) {
  const kilo = most >= 2000 || reading("W").name === "kW";
  const name = kilo ? "kW" : "W";
  const per = kilo ? 1e3 : 1;
  const labels = [...sources.map((c) => ({ name: c.name, at: w(c.values.reduce<number>((a, v) => Math.max(a, v ?? 0), 0)) + 4 })), ...(t.flows.length > 0 ? [{ name: "to the water", at: w(t.flows.at(-1)!.heat_W.findLast((v) => v !== null) ?? 0) }] : [])];
  const heights = ticks(least / per, most / per, 3);
  const names = apart(
    labels.map((l) => l.at),
    14,
    foot + 8,
    foot + heats,
  );
  return (
    <g>
      <g class="hair">
        {heights.map((v) => (
          <g key={v}>
            <path d={`M${left} ${w(v * per)}H${width - right}`} />
            <text class="tick" x={left - 6} y={w(v * per) + 3.5} text-anchor="end">
              {fixed(v, digitsOf(stepOf(heights)))}
            </text>
          </g>
        ))}
        <text class="tick" x={left - 6} y={foot - 6} text-anchor="end">
          {name}
        </text>
      </g>
      {sources.map((c) => (
        <path key={c.name} class="light" d={area(h.time_s, c.values, x, w)} />
      ))}
      {t.flows.map((f, i) => {
        const marks = marksOf(f.time_s, f.heat_W, x, w, 9);
        const d = drawn(marks, 0);
        return (
          <g key={i} class="mark water">
            <path class="band" d={band(f, x, w)} />
            <path class="spread" d={d.spread} />
            <path d={d.marks} />
          </g>
        );
      })}
      {labels.map((l, i) => (
        <text key={l.name} class={i >= sources.length ? "name water" : "name"} x={width - right + 9} y={names[i]}>
          {l.name}
        </text>
      ))}
    </g>
  );
}

/** area lies under a course that lasts from row to row. */
function area(time: number[], values: (number | null)[], x: (s: number) => number, w: (v: number) => number): string {
  let d = "";
  let open = false;
  time.forEach((s, i) => {
    const v = values[i];
    if (v === null || v === undefined) return;
    const [px, py] = [x(s).toFixed(1), w(v).toFixed(1)];
    d += open ? `H${px}V${py}` : `M${px} ${w(0).toFixed(1)}V${py}`;
    open = true;
  });
  return open ? `${d}V${w(0).toFixed(1)}Z` : "";
}

function band(f: Trial["flows"][number], x: (s: number) => number, w: (v: number) => number): string {
  const there: string[] = [];
  const back: string[] = [];
  f.time_s.forEach((s, i) => {
    const q = f.heat_W[i];
    const half = f.half_width_W[i];
    if (q === null || q === undefined || half === null || half === undefined) return;
    there.push(`${x(s).toFixed(1)} ${w(q + half).toFixed(1)}`);
    back.unshift(`${x(s).toFixed(1)} ${w(q - half).toFixed(1)}`);
  });
  return there.length < 2 ? "" : `M${[...there, ...back].join("L")}Z`;
}

interface Edges extends Pick<Props, "t" | "phases" | "selected" | "choose" | "move"> {
  x: (s: number) => number;
  width: number;
  length: number;
  height: number;
  step: number;
}

/** borders tells the phases of a trial from others. */
const borders = (t: Trial) => [t.trial, ...(t.heat?.phases ?? []).map((p) => `${p.kind} ${p.from_s}`)].join();

/** ms for which keys rest before a border that they have moved is written */
const keysRest = 700;

/** Phases are dimension lines above the curves; a border is taken by the mouse, or by the arrow keys. */
function Phases({ t, phases, selected, choose, move, x, width, length, height, step }: Edges) {
  const held = useRef(-1);
  const latest = useRef(move);
  latest.current = move;
  const bordered = useRef("");
  bordered.current = borders(t);
  const pressed = useRef<{ border: number; to: number; rest: number; of: string } | null>(null);
  /** rested settles a border that keys have moved: when they rest, or when the focus leaves it. Where the trial was read anew meanwhile
   * and has other phases, the border is no more what it was, and nothing is written. */
  const rested = () => {
    const p = pressed.current;
    if (p === null) return;
    pressed.current = null;
    clearTimeout(p.rest);
    if (p.of === bordered.current) latest.current(p.border, p.to, true);
  };
  const press = (border: number, to: number) => {
    clearTimeout(pressed.current?.rest);
    pressed.current = { border, to, rest: window.setTimeout(rested, keysRest), of: bordered.current };
    move(border, to, false);
  };
  useEffect(() => rested, []);
  const svg = useRef<SVGGElement>(null);
  const at = (e: PointerEvent) => {
    const box = svg.current!.ownerSVGElement!.getBoundingClientRect();
    return Math.max(0, Math.min(length, ((e.clientX - box.left - left) / (width - left - right)) * length));
  };
  useEffect(() => {
    const go = (e: PointerEvent) => {
      if (held.current >= 0) move(held.current, at(e), false);
    };
    const leave = (e: PointerEvent) => {
      if (held.current < 0) return;
      const border = held.current;
      held.current = -1;
      move(border, at(e), true);
    };
    addEventListener("pointermove", go);
    addEventListener("pointerup", leave);
    addEventListener("pointercancel", leave);
    return () => {
      removeEventListener("pointermove", go);
      removeEventListener("pointerup", leave);
      removeEventListener("pointercancel", leave);
    };
  });
  return (
    <g ref={svg} class="phases">
      {phases.map((p, i) => {
        const [a, b] = [x(p.from_s), x(p.to_s)];
        const room = b - a;
        return (
          <g key={i} class={i === selected ? "phase chosen" : "phase"} onClick={() => choose(i)}>
            <rect x={a} y={0} width={room} height={top - 12} />
            {i === selected && <rect class="tint" x={a} y={top - 12} width={room} height={height - top - 8} />}
            <path class="dimension" d={`M${a} ${top - 18}H${b}M${a} ${top - 18}l8 -2.5v5ZM${b} ${top - 18}l-8 -2.5v5Z`} />
            {room > 34 && (
              <text class="name" x={(a + b) / 2} y={top - 24} text-anchor="middle">
                {room > 110 ? `${p.kind}, ${lasts(p.to_s - p.from_s)}` : p.kind}
              </text>
            )}
          </g>
        );
      })}
      {phases.slice(1).map((p, i) => (
        <g
          key={i}
          class="border"
          tabIndex={0}
          role="slider"
          aria-label={`${phases[i]!.kind} ends, ${p.kind} begins`}
          aria-valuemin={Math.round(phases[i]!.from_s)}
          aria-valuemax={Math.round(p.to_s)}
          aria-valuenow={Math.round(p.from_s)}
          aria-valuetext={moment(p.from_s, length)}
          onBlur={rested}
          onPointerDown={(e) => {
            held.current = i;
            e.preventDefault();
            (e.currentTarget as SVGGElement).focus();
          }}
          onKeyDown={(e) => {
            const by = (e.shiftKey ? 10 : 1) * step;
            if (e.key === "ArrowRight") press(i, p.from_s + by);
            else if (e.key === "ArrowLeft") press(i, p.from_s - by);
            else if (e.key === "Enter") rested();
            else return;
            e.preventDefault();
            e.stopPropagation();
          }}
        >
          <path class="event" d={`M${x(p.from_s)} ${top - 26}V${height - 20}`} />
          <rect data-cursor="" class="reach" x={x(p.from_s) - 6} y={top - 26} width={12} height={height - top + 6} />
          <path data-cursor="" class="grip" d={`M${x(p.from_s) - 4} ${top - 26}h8v8l-4 5l-4 -5Z`} />
        </g>
      ))}
    </g>
  );
}

/** lasts writes how long a phase is. */
export function lasts(s: number): string {
  if (s < 600) return `${fixed(s, 0)}\u2009s`;
  if (s < 2 * 3600) return `${fixed(s / 60, 0)}\u2009min`;
  return `${fixed(s / 3600, 1)}\u2009h`;
}
