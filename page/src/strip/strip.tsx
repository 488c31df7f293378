// The time strip: temperatures above, heat flows below, one cursor for the whole sheet. Arrow keys move it; a table of the
// same rows stands behind it.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import type { History } from "../sheet/bench";
import { clock, fixed, shown } from "../sheet/numbers";
import { moved, run } from "../sheet/state";
import { look } from "../sheet/view";

interface Panel {
  unit: string;
  label: string;
  scale: number;
  high: number;
}

const panels: Panel[] = [
  { unit: "degC", label: "°C", scale: 1, high: 210 },
  { unit: "W", label: "kW", scale: 1e-3, high: 110 },
];

/** strokes set curves of one panel apart where ink is all there is */
const strokes: number[][] = [[], [7, 3], [2, 3], [12, 3, 2, 3], [5, 2.5], [1, 2]];

function colour(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** which columns a panel shows: the block, outlets and probes, not walls of tubes; heat in and out, not each pass */
function chosen(h: History, unit: string): History["columns"] {
  return h.columns.filter((c) => c.unit === unit && !/ wall max$|^pass .* heat$|^lost /.test(c.name) && c.values.some((v) => v !== null));
}

function Curves({ h, row, panel, last }: { h: History; row: number; panel: Panel; last: boolean }) {
  const at = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | null>(null);
  const cursor = useRef(0); // s, as drawn
  const columns = chosen(h, panel.unit);
  const names = columns.map((c) => c.name).join("\n");
  const [theme, setTheme] = useState(0);
  useEffect(() => {
    const m = matchMedia("(prefers-color-scheme: dark)");
    const f = () => setTheme((n) => n + 1);
    m.addEventListener("change", f);
    return () => m.removeEventListener("change", f);
  }, []);
  const data = (): uPlot.AlignedData => [h.time_s, ...columns.map((c) => c.values.map((v) => (v === null ? null : v * panel.scale)))];

  useLayoutEffect(() => {
    const box = at.current;
    if (box === null || columns.length === 0) return;
    const ink = colour("--ink");
    const soft = colour("--ink2");
    const hair = colour("--hair");
    const font = "11px " + (colour("--lettering") || "sans-serif");
    const p = new uPlot(
      {
        width: box.clientWidth,
        height: panel.high,
        legend: { show: false },
        cursor: {
          y: false,
          drag: { x: true, y: false },
          sync: { key: "sheet", setSeries: false },
          points: { show: false },
        },
        scales: { x: { time: false } },
        axes: [
          { show: last, stroke: soft, font, grid: { stroke: hair, width: 0.8 }, ticks: { stroke: hair, width: 0.8 }, values: (_u, s) => s.map(clock), incrs: [60, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400] },
          { stroke: soft, font, size: 52, label: panel.label, labelFont: font, labelSize: 16, grid: { stroke: hair, width: 0.8 }, ticks: { show: false }, values: (_u, s) => s.map((v) => fixed(v, Number.isInteger(v) ? 0 : 1)) },
        ],
        series: [{}, ...columns.map((c, i) => ({ label: c.name, stroke: / outlet$|to passes$/.test(c.name) ? colour("--water") : ink, width: 1.2, dash: strokes[i % strokes.length]!, points: { show: false }, spanGaps: false }))],
        hooks: {
          ready: [
            (u) => {
              u.over.addEventListener("click", () => {
                const i = u.cursor.idx;
                if (i !== null && i !== undefined) look({ time: u.data[0][i]! });
              });
            },
          ],
          draw: [(u) => namesAtEnds(u, columns.map((c) => c.name), font, ink, colour("--water")), (u) => cursorLine(u, cursor.current, ink)],
        },
      },
      data(),
      box,
    );
    plot.current = p;
    const seen = new ResizeObserver(() => p.setSize({ width: box.clientWidth, height: panel.high }));
    seen.observe(box);
    return () => {
      seen.disconnect();
      p.destroy();
      plot.current = null;
    };
  }, [names, theme]);

  useEffect(() => {
    plot.current?.setData(data());
  }, [h]);
  useEffect(() => {
    cursor.current = h.time_s[row] ?? 0;
    plot.current?.redraw(false);
  }, [h, row]);
  return columns.length === 0 ? null : <div class="curves" ref={at} />;
}

function cursorLine(u: uPlot, at: number, ink: string): void {
  const x = Math.round(u.valToPos(at, "x", true));
  if (x < u.bbox.left || x > u.bbox.left + u.bbox.width) return;
  u.ctx.save();
  u.ctx.strokeStyle = ink;
  u.ctx.lineWidth = devicePixelRatio;
  u.ctx.beginPath();
  u.ctx.moveTo(x, u.bbox.top);
  u.ctx.lineTo(x, u.bbox.top + u.bbox.height);
  u.ctx.stroke();
  u.ctx.restore();
}

/** namesAtEnds writes each curve's name at its end, moved apart where they would meet. */
function namesAtEnds(u: uPlot, names: string[], font: string, ink: string, water: string): void {
  const size = 12 * devicePixelRatio;
  const ends: { y: number; name: string }[] = [];
  names.forEach((name, i) => {
    const values = u.data[i + 1]!;
    for (let k = values.length - 1; k >= 0; k--) {
      const v = values[k];
      if (v !== null && v !== undefined) {
        ends.push({ y: u.valToPos(v, "y", true), name });
        break;
      }
    }
  });
  ends.sort((a, b) => a.y - b.y);
  for (let i = 1; i < ends.length; i++) ends[i]!.y = Math.max(ends[i]!.y, ends[i - 1]!.y + size);
  const floor = u.bbox.top + u.bbox.height - size / 3;
  for (let i = ends.length - 1; i >= 0; i--) {
    const most = i === ends.length - 1 ? floor : ends[i + 1]!.y - size;
    ends[i]!.y = Math.min(ends[i]!.y, most);
  }
  u.ctx.save();
  u.ctx.font = font.replace("11px", `italic ${11 * devicePixelRatio}px`);
  u.ctx.textAlign = "right";
  u.ctx.textBaseline = "bottom";
  for (const e of ends) {
    if (e.y < u.bbox.top) continue;
    u.ctx.lineWidth = 4 * devicePixelRatio; // the paper shows around a name that lies on a line
    u.ctx.strokeStyle = colour("--sheet");
    u.ctx.strokeText(e.name, u.bbox.left + u.bbox.width - 4 * devicePixelRatio, e.y);
    u.ctx.fillStyle = / outlet$|to passes$/.test(e.name) ? water : ink;
    u.ctx.fillText(e.name, u.bbox.left + u.bbox.width - 4 * devicePixelRatio, e.y);
  }
  u.ctx.restore();
}

export function Strip({ h, row }: { h: History; row: number }) {
  const [table, setTable] = useState(false);
  const r = run.value;
  const go = (to: number) => look({ time: h.time_s[Math.max(0, Math.min(h.time_s.length - 1, to))] ?? 0 });
  const events = r?.events ?? [];
  const keys = (e: KeyboardEvent) => {
    const step = e.shiftKey ? 10 : 1;
    const now = h.time_s[row] ?? 0;
    if (e.key === "ArrowRight") go(row + step);
    else if (e.key === "ArrowLeft") go(row - step);
    else if (e.key === "Home") go(0);
    else if (e.key === "End") go(h.time_s.length - 1);
    else if (e.key === "]") look({ time: events.find((m) => m.at_s > now + 1e-6)?.at_s ?? now });
    else if (e.key === "[") look({ time: [...events].reverse().find((m) => m.at_s < now - 1e-6)?.at_s ?? now });
    else if (e.key === "Enter") setTable(!table);
    else return;
    e.preventDefault();
  };
  if (h.time_s.length < 2) return null;
  const m = moved.value;
  return (
    <section class="strip" aria-label="Over time">
      <p class="marks">
        <b>{clock(h.time_s[row] ?? 0)}</b>
        {events.map((e) => (
          <button key={`${e.at_s}${e.what}`} onClick={() => look({ time: e.at_s })}>
            {clock(e.at_s)} {e.what}
          </button>
        ))}
        {m?.state === "computing" && <span>{m.coarse ? "coarse" : "refining"}, at {clock(m.reached_s)}</span>}
      </p>
      <div
        class="axis"
        tabIndex={0}
        role="slider"
        aria-label="Time. Arrows move it, Home and End go to its ends, brackets to events, Enter shows the table"
        aria-valuemin={0}
        aria-valuemax={h.time_s.at(-1)}
        aria-valuenow={h.time_s[row]}
        aria-valuetext={clock(h.time_s[row] ?? 0)}
        onKeyDown={keys}
      >
        {panels.map((p, i) => (
          <Curves key={p.unit} h={h} row={row} panel={p} last={i === panels.length - 1} />
        ))}
      </div>
      {table && <Rows h={h} row={row} />}
    </section>
  );
}

/** Rows is the table behind the curves: the rows around the cursor. */
function Rows({ h, row }: { h: History; row: number }) {
  const from = Math.max(0, Math.min(row - 5, h.time_s.length - 11));
  const shownRows = h.time_s.slice(from, from + 11).map((_, i) => from + i);
  const columns = panels.flatMap((p) => chosen(h, p.unit));
  return (
    <table class="rows">
      <caption>The rows around the cursor</caption>
      <thead>
        <tr>
          <th scope="col">time</th>
          {columns.map((c) => (
            <th scope="col" key={c.name}>
              {c.name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {shownRows.map((i) => (
          <tr key={i} aria-current={i === row ? "true" : undefined}>
            <th scope="row">{clock(h.time_s[i]!)}</th>
            {columns.map((c) => (
              <td key={c.name}>{shown(c.values[i], c.unit)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
