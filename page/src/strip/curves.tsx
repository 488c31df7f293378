// One panel on the screen. The library keeps scales, axes and lines; pens of this room draw what stands beneath and above.
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { type Name, writeNames } from "./names";
import { head, heading, levels, phasesOver, progress, throughLines, timeAxis } from "./paint";
import { type Frame, type Panel, above, beneath, coarseDash, isLight, marks, tick, ticks } from "./panel";
import { CanvasPen, type Faces } from "./pen";
import { type Through, colours } from "./sheet";
import { every, moments } from "../sheet/times";

export interface Shape {
  width: number;
  /** of the numbers at the left and of the names at the right */
  left: number;
  right: number;
  /** px that a text of 10 has, so that a page of larger letters has larger names */
  scale: number;
  first: boolean;
  last: boolean;
}

export interface Hands {
  /** the cursor is set */
  point: (t: number) => void;
  zoom: (from: number, to: number) => void;
}

export function faces(): Faces {
  const s = getComputedStyle(document.documentElement);
  return { text: s.getPropertyValue("--text") || "serif", lettering: s.getPropertyValue("--lettering") || "sans-serif" };
}

/** headroom and footroom of a panel, px */
export const room = (s: Pick<Shape, "first" | "last" | "scale">) => ({ head: s.first ? 14 : 10, foot: s.last ? 12 + 12 * s.scale : 12 });

interface Shown {
  panel: Panel;
  through: Through;
  names: Name[];
  shape: Shape;
}

function frameOf(u: uPlot): Frame {
  const r = devicePixelRatio;
  const { left, top, width, height } = u.bbox;
  return { left: left / r, top: top / r, width: width / r, height: height / r, x: (t) => u.valToPos(t, "x", true) / r, y: (v) => u.valToPos(v, "y", true) / r };
}

function drawn(u: uPlot, draw: (pen: CanvasPen, f: Frame) => void): void {
  const pen = new CanvasPen(u.ctx, faces(), devicePixelRatio);
  draw(pen, frameOf(u));
  pen.end();
}

function under(u: uPlot, { panel }: Shown): void {
  drawn(u, (pen, f) => beneath(pen, f, panel, colours()));
}

function upon(u: uPlot, { panel, through: t, names, shape }: Shown): void {
  const c = colours();
  drawn(u, (pen, f) => {
    const small = 11 * shape.scale;
    above(pen, f, panel, c);
    if (panel.apart !== null && panel.measured) {
      pen.within(f.left - 4, f.top - 4, f.width + 8, f.height + 8, () => {
        for (const one of panel.curves) marks(pen, f, panel.time, one.values, one.kind, one.water ? c.water : c.ink, c.sheet);
      });
    }
    throughLines(pen, f, t, c);
    heading(pen, f, panel, small, c);
    if (shape.first) {
      phasesOver(pen, f, t, small, c);
      progress(pen, f, t, small, c);
      head(pen, f, t, c);
    }
    if (shape.last) timeAxis(pen, f, t, small, c);
    writeNames(pen, f, panel, names, shape.right - 6, 12.5 * shape.scale, c);
  });
}

function series(p: Panel): uPlot.Series[] {
  const c = colours();
  const points = p.apart !== null && p.measured;
  return p.curves.map((one) => ({
    label: one.name,
    stroke: one.water ? c.water : c.ink,
    width: 1.2,
    ...(p.dashed ? { dash: [...coarseDash] } : {}),
    points: { show: false },
    ...(isLight(one.name) || points ? { paths: () => null } : {}),
  }));
}

const lined = (p: Panel): uPlot.AlignedData => [p.time as number[], ...p.curves.map((c) => c.values as (number | null)[])];

function options(now: { current: Shown }, hands: Hands): uPlot.Options {
  const c = colours();
  const { panel: p, shape } = now.current;
  const font = `${11 * shape.scale}px ${faces().lettering}`;
  const { head: above, foot } = room(shape);
  const step = (u: uPlot) => every(now.current.through.from, now.current.through.to, u.bbox.width / devicePixelRatio / 72);
  return {
    width: shape.width,
    height: p.tall + above + foot,
    padding: [above, shape.right, shape.last ? 0 : foot, 0],
    legend: { show: false },
    cursor: {
      y: false,
      points: { show: false },
      sync: { key: "strip", setSeries: false },
      drag: { x: true, y: false, setScale: false },
      bind: { dblclick: () => null, mousedown: (u, _at, go) => (e) => (e.shiftKey ? pan(u, e, hands) : go(e), null) },
    },
    scales: { x: { time: false, range: () => [now.current.through.from, now.current.through.to] }, y: { range: () => [now.current.panel.low, now.current.panel.high] } },
    axes: [
      {
        show: true,
        stroke: c.ink2,
        font,
        size: shape.last ? foot : 0,
        gap: 3,
        grid: { stroke: c.hair, width: 0.8 },
        ticks: { show: false },
        splits: (u) => moments(now.current.through.from, now.current.through.to, step(u)),
        values: (_u, at) => at.map(() => ""), // a pen writes them
      },
      {
        stroke: c.ink2,
        font,
        size: shape.left,
        gap: 6,
        grid: { stroke: c.hair, width: 0.8 },
        ticks: { show: false },
        splits: () => ticks(now.current.panel),
        values: (_u, at) => levels(now.current.panel, tick, at).map(([, s]) => s),
      },
    ],
    series: [{}, ...series(p)],
    hooks: {
      drawAxes: [(u) => under(u, now.current)],
      draw: [(u) => upon(u, now.current)],
      ready: [(u) => listen(u, hands)],
      setSelect: [(u) => chosen(u, hands)],
    },
  };
}

/** chosen looks at the stretch that was drawn over. */
function chosen(u: uPlot, hands: Hands): void {
  const { left, width } = u.select;
  if (width < 4) return;
  hands.zoom(u.posToVal(left, "x"), u.posToVal(left + width, "x"));
  u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
}

/** pan moves the axis with the hand. */
function pan(u: uPlot, e: MouseEvent, hands: Hands): void {
  const [from, to] = [u.scales["x"]!.min!, u.scales["x"]!.max!];
  const per = (to - from) / u.over.clientWidth;
  const move = (m: MouseEvent) => hands.zoom(from - (m.clientX - e.clientX) * per, to - (m.clientX - e.clientX) * per);
  const end = () => {
    removeEventListener("mousemove", move);
    removeEventListener("mouseup", end);
  };
  addEventListener("mousemove", move);
  addEventListener("mouseup", end);
  e.preventDefault();
}

function listen(u: uPlot, hands: Hands): void {
  u.over.addEventListener("click", (e) => {
    if (!e.shiftKey) hands.point(u.posToVal(e.offsetX, "x"));
  });
  u.over.addEventListener(
    "wheel",
    (e) => {
      e.preventDefault();
      const [from, to] = [u.scales["x"]!.min!, u.scales["x"]!.max!];
      const wide = to - from;
      if (Math.abs(e.deltaX) > Math.abs(e.deltaY)) {
        const by = (e.deltaX / u.over.clientWidth) * wide;
        hands.zoom(from + by, to + by);
        return;
      }
      const at = u.posToVal(e.offsetX, "x");
      const k = Math.exp(Math.max(-1, Math.min(1, e.deltaY / 300)));
      hands.zoom(at - (at - from) * k, at + (to - at) * k);
    },
    { passive: false },
  );
  touch(u, hands);
}

/** touch: one finger moves the axis along, two pull it apart. */
function touch(u: uPlot, hands: Hands): void {
  let from = 0;
  let to = 1;
  let at: number[] = [];
  const places = (e: TouchEvent) => [...e.touches].map((t) => t.clientX - u.over.getBoundingClientRect().left).sort((a, b) => a - b);
  u.over.addEventListener("touchstart", (e) => {
    at = places(e);
    [from, to] = [u.scales["x"]!.min!, u.scales["x"]!.max!];
  }, { passive: true });
  u.over.addEventListener("touchmove", (e) => {
    const now = places(e);
    const per = (to - from) / u.over.clientWidth;
    if (now.length !== at.length) return;
    if (now.length === 1) hands.zoom(from - (now[0]! - at[0]!) * per, to - (now[0]! - at[0]!) * per);
    else if (now.length === 2 && now[1]! - now[0]! > 10) {
      const k = (at[1]! - at[0]!) / (now[1]! - now[0]!);
      const mid = from + ((at[0]! + at[1]!) / 2) * per;
      hands.zoom(mid - (mid - from) * k, mid + (to - mid) * k);
    }
  }, { passive: true });
}

export function Curves({ panel, through, names, shape, hands, theme }: Shown & { hands: Hands; theme: number }) {
  const box = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | null>(null);
  const now = useRef<Shown>({ panel, through, names, shape });
  now.current = { panel, through, names, shape };
  const made = [panel.unit, panel.tall, panel.dashed, panel.measured, ...panel.curves.map((c) => c.name), ...Object.values(shape), theme].join("\n");
  useLayoutEffect(() => {
    const p = new uPlot(options(now, hands), lined(now.current.panel), box.current!);
    plot.current = p;
    return () => {
      p.destroy();
      plot.current = null;
    };
  }, [made]);
  useLayoutEffect(() => {
    plot.current?.setData(lined(panel));
  }, [panel]);
  const beside = JSON.stringify([shape.first ? through : { ...through, reached: null, beyond: "" }, names]); // the first alone shows how far the march has got
  useEffect(() => {
    const { from, to } = through;
    const x = plot.current?.scales["x"];
    if (x !== undefined && (x.min !== from || x.max !== to)) plot.current?.setScale("x", { min: from, max: to });
    else plot.current?.redraw(false);
  }, [beside]);
  return <div class="curves" ref={box} />;
}
