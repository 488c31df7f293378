// A season day by day: a mark a day, as wide as what was wanted, inked as far as it was met, hatched where it was missed. A day is
// chosen by a click or by arrows.
import { fixed, share, shown, span } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { SaveFigure } from "../sheet/save";
import { reading } from "../sheet/units";
import { view } from "../sheet/view";
import { dateOf } from "./clock";
import { also, type Season } from "./store";

/** OneDay is a day of the season as its books have it, in the units of files. */
export interface OneDay {
  /** from 1 */
  number: number;
  wanted: number;
  met: number;
  of: (name: string) => number | null;
  /** by path of loss */
  lost: { path: string; J: number }[];
}

/** loaded tells whether anything is wanted in a season. */
export const loaded = (s: Season): boolean => s.columns.some((c) => c.name === "wanted");

/** unitOf is the unit of what is wanted and met: J of heat, or kg of steam. */
export const unitOf = (s: Season): string => s.columns.find((c) => c.name === "wanted")?.unit ?? "J";

/** daysOf reads the books of a season's days; without a load, what was delivered stands for what was met. */
export function daysOf(s: Season): OneDay[] {
  const at = new Map(s.columns.map((c, i) => [c.name, i]));
  return s.days.map((row) => {
    const of = (name: string) => row[at.get(name) ?? -1] ?? null;
    return {
      number: of("day") ?? 0,
      wanted: of("wanted") ?? 0,
      met: loaded(s) ? (of("met") ?? 0) : (of("delivered") ?? 0),
      of,
      lost: s.columns.filter((c) => c.name.startsWith("lost ")).map((c) => ({ path: c.name.slice(5), J: of(c.name) ?? 0 })),
    };
  });
}

/** amount writes what was wanted or met. */
export const amount = (s: Season, x: number): string => (unitOf(s) === "kg" ? `${fixed(x, Math.abs(x) < 100 ? 2 : 0)}\u2009kg` : shown(x, "J"));

interface Place {
  row: number;
  column: number;
}

/** laid puts the days into rows: of a month where the season says when it begins, else of 31 days. */
function laid(s: Season, days: OneDay[]): { rows: string[]; at: Place[]; label: (d: OneDay) => string } {
  const starts = s.doc?.starts;
  if (starts === undefined) {
    const rows = Array.from({ length: Math.ceil(days.length / 31) }, (_, r) => `day ${31 * r + 1}`);
    return { rows, at: days.map((_, i) => ({ row: Math.floor(i / 31), column: i % 31 })), label: (d) => `day ${d.number}` };
  }
  const rows: string[] = [];
  const at: Place[] = [];
  let last = "";
  for (const d of days) {
    const on = dateOf(starts, d.number - 1);
    const month = `${on.month} ${on.year}`;
    if (month !== last) rows.push(on.month);
    last = month;
    at.push({ row: rows.length - 1, column: on.day - 1 });
  }
  return { rows, at, label: (d) => ((on) => `${on.day} ${on.month}`)(dateOf(starts, d.number - 1)) };
}

/** labelOf names a day: by its date, or by its number. */
export const labelOf = (s: Season, d: OneDay): string => laid(s, [d]).label(d);

/** chosenDay is the index of the day that is looked at. */
export function chosenDay(days: readonly OneDay[]): number {
  const asked = Number(view.value.also["date"] ?? 1);
  return Math.max(0, Math.min(days.length - 1, Number.isFinite(asked) ? Math.round(asked) - 1 : 0));
}

const choose = (i: number, days: readonly OneDay[]) => also({ date: String(Math.max(0, Math.min(days.length - 1, i)) + 1) });

const left = 74;
const right = 108;
const top = 26;
const rowTall = 20;
const bar = 12;

/** short says how a day went, for who hears it. */
export function short(s: Season, d: OneDay): string {
  if (!loaded(s)) return `${amount(s, d.met)} delivered`;
  if (!(d.wanted > 0)) return "nothing wanted";
  return `${amount(s, d.met)} of ${amount(s, d.wanted)} met, ${share(d.met / d.wanted)}${(d.of("short") ?? 0) > 0 ? `, short for ${span(d.of("short")!)}` : ""}`;
}

export function Calendar({ s, days }: { s: Season; days: OneDay[] }) {
  const [box, room] = useRoom<HTMLDivElement>(1, 480);
  const wide = room === 0 ? 820 : room;
  const { rows, at, label } = laid(s, days);
  const cell = (wide - left - right) / 31;
  const most = Math.max(...days.map((d) => Math.max(d.wanted, d.met)), 1e-12);
  const chosen = chosenDay(days);
  const high = top + rowTall * rows.length + 6;
  const x = (p: Place) => left + cell * p.column;
  const y = (p: Place) => top + rowTall * p.row;
  const across = (v: number) => (v / most) * (cell - 4);
  const has = loaded(s);
  const beside = (way: 1 | -1) => {
    // the same place in the row before or after, or the nearest to it
    const here = at[chosen]!;
    const other = at.flatMap((p, i) => (p.row === here.row + way ? [{ i, off: Math.abs(p.column - here.column) }] : []));
    return other.sort((a, b) => a.off - b.off)[0]?.i ?? chosen;
  };
  const onKey = (e: KeyboardEvent) => {
    const to = { ArrowRight: chosen + 1, ArrowLeft: chosen - 1, ArrowDown: beside(1), ArrowUp: beside(-1), Home: 0, End: days.length - 1 }[e.key];
    if (to === undefined) return;
    choose(to, days);
    e.preventDefault();
  };
  const sums = rows.map((_, r) => {
    const mine = days.filter((_, i) => at[i]!.row === r);
    return { wanted: mine.reduce((n, d) => n + d.wanted, 0), met: mine.reduce((n, d) => n + d.met, 0) };
  });
  const inUnit = unitOf(s) === "kg" ? { name: "kg", of: (v: number) => v } : reading("J");
  const total = (v: number) => fixed(inUnit.of(v), Math.max(...sums.map((r) => inUnit.of(r.met))) < 100 ? 2 : 0);
  return (
    <figure class="calendar">
      <div
        ref={box}
        class="axis"
        tabIndex={0}
        role="slider"
        aria-label="Day of the season. Left and right go a day, up and down a row, Home and End to the ends"
        aria-valuemin={1}
        aria-valuemax={days.length}
        aria-valuenow={chosen + 1}
        aria-valuetext={`${label(days[chosen]!)}: ${short(s, days[chosen]!)}`}
        onKeyDown={onKey}
      >
        <svg width={wide} height={high} viewBox={`0 0 ${wide} ${high}`} aria-hidden="true">
          <defs>
            <pattern id="missedday" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
              <path class="hatch" d="M2 0V4" />
            </pattern>
          </defs>
          {[1, 5, 10, 15, 20, 25, 30].map((n) => (
            <text key={n} class="tick" x={left + cell * (n - 1)} y={14}>
              {n}
            </text>
          ))}
          <text class="tick end" x={wide - right + 48} y={14}>
            {has ? "met" : ""}
          </text>
          <text class="tick end" x={wide - 2} y={14}>
            {inUnit.name}
          </text>
          {rows.map((name, r) => (
            <g key={r}>
              <text class="name end" x={left - 10} y={top + rowTall * r + bar - 1}>
                {name}
              </text>
              <line class="hair" x1={left} x2={wide - right} y1={top + rowTall * r + bar + 3} y2={top + rowTall * r + bar + 3} />
              {has && (
                <text class="tick end" x={wide - right + 48} y={top + rowTall * r + bar - 1}>
                  {sums[r]!.wanted > 0 ? share(sums[r]!.met / sums[r]!.wanted) : ""}
                </text>
              )}
              <text class="tick end" x={wide - 2} y={top + rowTall * r + bar - 1}>
                {total(sums[r]!.met)}
              </text>
            </g>
          ))}
          {days.map((d, i) => {
            const p = at[i]!;
            const [met, whole] = [across(Math.max(0, d.met)), across(Math.max(d.wanted, d.met))];
            return (
              <g key={d.number} class="day" onClick={() => choose(i, days)}>
                <rect class="field" x={x(p) - 1} y={y(p) - 4} width={cell} height={rowTall - 1} />
                {whole - met > 0.3 && <rect class="missed" x={x(p) + met} y={y(p)} width={whole - met} height={bar} fill="url(#missedday)" />}
                {met > 0 && <rect class="met" x={x(p)} y={y(p)} width={met} height={bar} />}
                {whole <= 0.3 && <line class="dry" x1={x(p)} x2={x(p) + cell - 6} y1={y(p) + bar / 2} y2={y(p) + bar / 2} />}
                {i === chosen && <rect class="chosen" x={x(p) - 2.5} y={y(p) - 2.5} width={Math.max(whole, cell - 4) + 5} height={bar + 5} />}
              </g>
            );
          })}
        </svg>
      </div>
      <p class="small">
        {has
          ? `A mark a day, as wide as what was wanted, ${amount(s, most)} at the most: inked as far as it was met, hatched where it was missed.`
          : `A mark a day, as wide as what the water carried off, ${amount(s, most)} at the most.`}
      </p>
      <SaveFigure file={`${s.name.replace(/\.ya?ml$/, "")}-calendar`} />
    </figure>
  );
}
