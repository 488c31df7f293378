// A day over time: the block's temperature, the light that it took in, what was wanted and what was given, hatched where it was
// missed, and which circuits were open. One cursor for the whole sheet.
import type { History } from "../sheet/bench";
import { fixed, shown } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { SaveFigure } from "../sheet/save";
import { digitsOf, stepOf, ticks } from "../sheet/scale";
import { computes, unsettled } from "../sheet/standing";
import { moved } from "../sheet/state";
import { rowAt } from "../sheet/times";
import { reading } from "../sheet/units";
import { look, view } from "../sheet/view";
import { hour, marks } from "./clock";
import { area, heldTo, line, openFrom, type Point } from "./draw";
import { type Day, kept } from "./store";
import { tint } from "./tint";

const left = 54;
const right = 118;

/** tops and heights of the panels, px */
const bar = { top: 4, tall: 11 };
const warm = { top: 26, tall: 112 };
const lit = { top: 156, tall: 54 };
const load = { top: 230, tall: 96 };
const open = { top: 346, row: 15 };

interface Props {
  d: Day;
  /** null: there are no rows yet */
  h: History | null;
}

const column = (h: History | null, name: string) => h?.columns.find((c) => c.name === name)?.values ?? [];

/** cursorOf is where the cursor stands on a run's time. */
export function cursorOf(h: History | null): number {
  return Math.max(0, Math.min(view.value.time, h?.time_s.at(-1) ?? 0));
}

/** told says what stands at a moment. */
function told(d: Day, h: History, row: number): string {
  const at = (name: string, unit: string) => shown(column(h, name)[row], unit);
  const parts = [`block ${at("block mean", "degC")}`, `light taken in ${at("absorbed", "W")}`];
  if (d.of !== "nothing") {
    const open = column(h, "load circuits open")[row] ?? 0;
    parts.push(`wanted ${at("load wanted", d.unit)}`, `given ${at("load delivered", d.unit)}`, open === 0 ? "no circuit open" : `${fixed(open, 0)} of ${d.circuits.length} open`);
  }
  return `${hour(d, h.time_s[row] ?? 0)}: ${parts.join(", ")}`;
}

export function Course({ d, h }: Props) {
  const [box, room] = useRoom<HTMLDivElement>(1, 480);
  const wide = room === 0 ? 820 : room;
  const until = Math.max(d.until_s, 1);
  const m = moved.value;
  const x = (t: number) => left + (t / until) * (wide - left - right);
  const time = h?.time_s ?? [];
  const reached = time.at(-1) ?? 0;
  const row = Math.max(0, rowAt(time, view.value.time));
  const high = open.top + open.row * Math.max(1, d.circuits.length) + 34;
  const foot = high - 30;
  const step = (by: number) => {
    if (time.length > 0) look({ time: time[Math.max(0, Math.min(time.length - 1, row + by))]! });
  };
  const onKey = (e: KeyboardEvent) => {
    const by = e.shiftKey ? 10 : 1;
    if (e.key === "ArrowRight") step(by);
    else if (e.key === "ArrowLeft") step(-by);
    else if (e.key === "Home") look({ time: 0 });
    else if (e.key === "End") look({ time: reached });
    else return;
    e.preventDefault();
  };
  const says = h === null || time.length === 0 ? "" : told(d, h, row);
  const pale = m !== null && kept.value === null && (unsettled(m) || m.state === "computing");
  return (
    <figure class="course">
      <figcaption>
        <b>One day: {d.title}</b> <output>
          {kept.value !== null ? `kept in ${kept.value.folder}, of the same files; ` : ""}
          {m?.state === "computing" ? computes(m) : ""}
        </output>
      </figcaption>
      <div
        ref={box}
        class="axis"
        tabIndex={0}
        role="slider"
        aria-label="The day's course. Arrows move the time, with Shift ten rows, Home and End go to its ends"
        aria-valuemin={0}
        aria-valuemax={Math.round(until)}
        aria-valuenow={Math.round(time[row] ?? 0)}
        aria-valuetext={says === "" ? "nothing is computed yet" : says}
        onKeyDown={onKey}
        onClick={(e) => {
          const t = (e.clientX - e.currentTarget.getBoundingClientRect().left - left) / (wide - left - right);
          if (time.length > 0 && t >= -0.02 && t <= 1.02) look({ time: time[Math.max(0, rowAt(time, t * until))]! });
        }}
      >
        <svg width={wide} height={high} viewBox={`0 0 ${wide} ${high}`} aria-hidden="true">
          <defs>
            <pattern id="missed" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
              <path class="hatch" d="M2 0V5" />
            </pattern>
            <clipPath id="computed">
              <rect x={left} y={0} width={Math.max(0, x(reached) - left)} height={high} />
            </clipPath>
          </defs>
          {marks(d, until, (wide - left - right) / 76).map((k) => (
            <g key={k.at}>
              <line class="hair" x1={x(k.at)} x2={x(k.at)} y1={warm.top} y2={foot} />
              <text class="tick mid" x={x(k.at)} y={high - 14}>
                {k.text}
              </text>
            </g>
          ))}
          <Block d={d} h={h} x={x} wide={wide} />
          <Light h={h} x={x} wide={wide} />
          {d.of !== "nothing" && <Load d={d} h={h} x={x} wide={wide} reached={reached} />}
          {d.circuits.map((name, k) => (
            <g key={name} class="opened">
              <text class="name" x={wide - right + 8} y={open.top + open.row * k + 4}>
                {name}
              </text>
              <line class="hair" x1={left} x2={wide - right} y1={open.top + open.row * k} y2={open.top + open.row * k} />
              {openFrom(time, column(h, "load circuits open"), k).map(([a, b]) => (
                <line key={a} class="open" x1={x(a)} x2={Math.max(x(b), x(a) + 1.5)} y1={open.top + open.row * k} y2={open.top + open.row * k} />
              ))}
            </g>
          ))}
          {d.circuits.length > 0 && (
            <text class="tick end" x={left - 7} y={open.top + 4}>
              open
            </text>
          )}
          {kept.value === null && m?.state === "computing" && m.reached_s < until && (
            <g class="reached">
              <line x1={left} x2={x(m.reached_s)} y1={foot} y2={foot} />
              <path d={`M${x(m.reached_s) + 7} ${foot}l-10 -4v8z`} />
            </g>
          )}
          {time.length > 0 && (
            <g data-cursor="" class="cursor">
              <line x1={x(time[row]!)} x2={x(time[row]!)} y1={bar.top - 4} y2={foot + 4} />
              <rect x={x(time[row]!) - 19} y={high - 26} width={38} height={16} />
              <text class="mid" x={x(time[row]!)} y={high - 14}>
                {hour(d, time[row]!)}
              </text>
            </g>
          )}
        </svg>
      </div>
      <p class={pale ? "at unsettled" : "at"}>{says}</p>
      {time.length > 0 && <SaveFigure file={`${(m?.run ?? "day").replace(/\.ya?ml$/, "")}-day`} />}
    </figure>
  );
}

interface Panel {
  h: History | null;
  x: (t: number) => number;
  wide: number;
}

/** axisOf is a panel's scale from low to high with its round numbers, in the unit that the reader has chosen. */
function axisOf(panel: { top: number; tall: number }, low: number, high: number, parts: number) {
  const at = ticks(low, high, parts);
  const digits = digitsOf(stepOf(at));
  const y = (v: number) => panel.top + panel.tall - ((v - low) / Math.max(high - low, 1e-12)) * panel.tall;
  return { y, at, text: (v: number) => fixed(v, digits) };
}

function Levels({ axis, wide, unit }: { axis: ReturnType<typeof axisOf>; wide: number; unit: string }) {
  return (
    <>
      {axis.at.map((v, i) => (
        <g key={v}>
          <line class="hair" x1={left} x2={wide - right} y1={axis.y(v)} y2={axis.y(v)} />
          <text class="tick end" x={left - 7} y={axis.y(v) + 4}>
            {axis.text(v)}
            {i === axis.at.length - 1 ? `\u2009${unit}` : ""}
          </text>
        </g>
      ))}
    </>
  );
}

/** most pieces of the bar of colours */
const pieces = 240;

function Block({ d, h, x, wide }: Panel & { d: Day }) {
  const unit = reading("degC");
  const mean = column(h, "block mean");
  const time = h?.time_s ?? [];
  const all = mean.filter((v): v is number => v !== null);
  const serves = d.serves_degC === undefined ? [] : [d.serves_degC];
  const lowest = all.length === 0 ? d.colours_degC[0] : Math.min(...all, ...serves);
  const highest = all.length === 0 ? d.colours_degC[1] : Math.max(...all, ...serves);
  const beyond = Math.max(0.06 * (highest - lowest), 2);
  const axis = axisOf(warm, unit.of(lowest - beyond), unit.of(Math.max(highest, lowest + 30) + beyond), 4);
  const points = time.map((t, i): Point | null => (mean[i] == null ? null : [x(t), axis.y(unit.of(mean[i]))]));
  const every = Math.max(1, Math.ceil(time.length / pieces));
  const end = points.at(-1);
  const dashed = kept.value === null && moved.value?.coarse === true;
  return (
    <g>
      <text class="tick end" x={left - 7} y={bar.top + 9}>
        block
      </text>
      {time.map((t, i) =>
        i % every === 0 && i + 1 < time.length && mean[i] != null ? (
          <rect key={i} x={x(t)} y={bar.top} width={x(time[Math.min(time.length - 1, i + every)]!) - x(t) + 0.6} height={bar.tall} fill={tint(mean[i], d.colours_degC)} shape-rendering="crispEdges" />
        ) : null,
      )}
      <rect class="outline" x={left} y={bar.top} width={wide - left - right} height={bar.tall} />
      <Levels axis={axis} wide={wide} unit={unit.name} />
      {d.serves_degC !== undefined && (
        <>
          <line class="serves" x1={left} x2={wide - right} y1={axis.y(unit.of(d.serves_degC))} y2={axis.y(unit.of(d.serves_degC))} />
          <text class="name" x={wide - right + 8} y={axis.y(unit.of(d.serves_degC)) + 4}>
            serves from {fixed(unit.of(d.serves_degC), 0)}
          </text>
        </>
      )}
      <path class={dashed ? "curve coarse" : "curve"} d={line(points)} />
      {end != null && (
        <text class="name" x={wide - right + 8} y={away(end[1] + 4, d.serves_degC === undefined ? NaN : axis.y(unit.of(d.serves_degC)) + 4)}>
          block’s mean
        </text>
      )}
    </g>
  );
}

/** away moves a label off another. */
const away = (y: number, other: number) => (Math.abs(y - other) < 14 ? other + (y < other ? -14 : 14) : y);

function Light({ h, x, wide }: Panel) {
  const unit = reading("W");
  const taken = column(h, "absorbed").map((v) => unit.of(v ?? 0));
  const axis = axisOf(lit, 0, Math.max(...taken, unit.of(1)) * 1.05, 2);
  const points = (h?.time_s ?? []).map((t, i): Point => [x(t), axis.y(taken[i] ?? 0)]);
  return (
    <g>
      <path class="light" d={area(points, axis.y(0))} />
      <Levels axis={axis} wide={wide} unit={unit.name} />
      <text class="name" x={wide - right + 8} y={axis.y(0) - 2}>
        light taken in
      </text>
    </g>
  );
}

function Load({ d, h, x, wide, reached }: Panel & { d: Day; reached: number }) {
  const unit = reading(d.unit);
  const time = h?.time_s ?? [];
  const wanted = column(h, "load wanted");
  const given = heldTo({ time, wanted, given: column(h, "load delivered") });
  const most = Math.max(...d.wanted.values, ...given.map(([, v]) => v), 1e-12);
  const axis = axisOf(load, 0, unit.of(most) * 1.06, 3);
  const asked = d.wanted.time_s.map((t, i): Point => [x(t), axis.y(unit.of(d.wanted.values[i]!))]);
  const points = given.map(([t, v]): Point => [x(t), axis.y(unit.of(Math.max(0, v)))]);
  const zero = axis.y(0);
  return (
    <g class="load">
      <Levels axis={axis} wide={wide} unit={unit.name} />
      <clipPath id="asked">
        <path d={area(asked, zero)} />
      </clipPath>
      <g clip-path="url(#computed)">
        <path class="missed" d={area(asked, zero)} fill="url(#missed)" />
        <g clip-path="url(#asked)">
          <path class="met" d={area(points, zero)} />
        </g>
        <path class="given" d={line(points)} />
      </g>
      <path class={reached > 0 ? "asked" : "asked tocome"} d={line(asked)} />
      <g class="key" transform={`translate(${wide - right + 8} ${load.top + 12})`}>
        <path class="asked" d="M0 -4H16" />
        <text class="name" x={22} y={0}>
          wanted
        </text>
        <rect class="met" x={0} y={12} width={16} height={9} />
        <text class="name" x={22} y={21}>
          met
        </text>
        <rect class="missed" x={0} y={33} width={16} height={9} fill="url(#missed)" />
        <text class="name" x={22} y={42}>
          missed
        </text>
      </g>
    </g>
  );
}
