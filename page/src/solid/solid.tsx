// The cut-away: the receiver as a solid that can be turned, a part of it taken away, at the moment of the cursor. It stands in the
// place of the section. The last picture stays while the next one is fetched.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { keys, tell } from "../sheet/keys";
import { clock, shown } from "../sheet/numbers";
import { save } from "../sheet/save";
import { moved, rows, run, tried } from "../sheet/state";
import { dark } from "../sheet/theme";
import { rowAt } from "../sheet/times";
import { chosen, inKelvins } from "../sheet/units";
import { askCells, askField, askWater, type Cells, type Field, type Water } from "./cells";
import { SolidChoice } from "./choice";
import { cut, cutAsSaid, cutAway, inHand, movePlane, setTurn, turn, turnAsSaid, wholeTurn } from "./cut";
import { annotate, type Reading } from "./names";
import { dress } from "./look";
import { Painter } from "./painter";
import { Planes } from "./planes";
import "./solid.css";
import { partsInWords, viewInWords } from "./words";

interface Held {
  cells: Cells;
  field: Field;
  water: Water;
}

let held: Held | null = null; // what was drawn last

keys(
  ...(["x", "y", "z"] as const).map((key, a) => ({ key, does: `take the plane across the ${["depth", "width", "height"][a]} in hand`, when: cutAway, run: () => void (inHand.value = a as 0 | 1 | 2) })),
  { key: ",", does: "move the plane in hand to lower numbers", when: cutAway, run: () => held && movePlane(held.cells, -0.02) },
  { key: ".", does: "move the plane in hand to higher numbers", when: cutAway, run: () => held && movePlane(held.cells, 0.02) },
);

tell(
  { key: "← → ↑ ↓", does: "turn the cut-away while it has the focus; with Shift, five times as far" },
  { key: "+ −", does: "bring it nearer, or farther" },
);

/** useHeld fetches the cells of an answer and the field of a moment; of several that are wanted meanwhile only the last. */
function useHeld(of: string, answer: number, time: number): { now: Held | null; trouble: string } {
  const [now, set] = useState<Held | null>(held?.cells.run === of ? held : null);
  const [trouble, setTrouble] = useState("");
  const wanted = useRef({ of, answer, time });
  const asking = useRef(false);
  const here = useRef(true);
  useEffect(() => () => void (here.current = false), []);
  useEffect(() => {
    wanted.current = { of, answer, time };
    if (asking.current || answer === 0) return;
    asking.current = true;
    void (async () => {
      let cells = held?.cells.run === of ? held.cells : null;
      for (let last; last !== wanted.current && here.current; ) {
        last = wanted.current;
        try {
          if (cells === null || cells.run !== last.of || cells.answer !== last.answer) cells = await askCells(last.of);
          const [field, water] = await Promise.all([askField(cells, last.time), askWater(cells, last.time)]);
          held = { cells, field, water };
          if (here.current) set(held);
          setTrouble("");
        } catch (e) {
          cells = null;
          setTrouble(e instanceof Error ? e.message : String(e));
        }
      }
      asking.current = false;
    })();
  }, [of, answer, time]);
  return { now, trouble };
}

/** readings are what the sensors of the run read at a time. */
function readings(time: number): Reading[] {
  const h = rows.value;
  const row = h === null ? -1 : rowAt(h.time_s, time);
  return (run.value?.sensors ?? []).map((s) => ({ ...s, reads: shown(h?.columns.find((c) => c.name === s.name)?.values[row], "degC") }));
}

export function Solid({ time }: { time: number }) {
  const r = run.value;
  const { now, trouble } = useHeld(r?.run ?? "", (moved.value?.rows ?? 0) > 0 ? (r?.answer ?? 0) : 0, time);
  return (
    <figure class="section solid">
      {now !== null ? <Drawing {...now} /> : <p class="later">{trouble === "" ? "The cut-away is drawn when the first temperatures are there." : trouble}</p>}
      {now !== null && trouble !== "" && <p class="later">{trouble}</p>}
      <figcaption>
        <SolidChoice />
        {now !== null && <Planes cells={now.cells} />}
      </figcaption>
    </figure>
  );
}

function Drawing({ cells, field, water }: Held) {
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const over = useRef<HTMLCanvasElement>(null);
  const painter = useRef<Painter | null>(null);
  const [missing, setMissing] = useState(false);
  const [faces, setFaces] = useState(0);
  const [size, setSize] = useState<[number, number]>([0, 0]);
  const planes = cut(cells);
  const from = turn();
  const paper = { wide: size[0], high: size[1], fine: Math.min(2, devicePixelRatio || 1) };
  const sensors = readings(field.time_s);
  const read = sensors.map((s) => s.reads).join();
  const parts = useMemo(() => partsInWords(cells, field, water), [cells, field, water]);

  useLayoutEffect(() => {
    const p = new Painter(canvas.current!);
    if (!p.begin()) {
      setMissing(true);
      return;
    }
    painter.current = p;
    return () => {
      painter.current = null;
      p.end();
    };
  }, []);
  useLayoutEffect(() => {
    const again = () => setFaces((n) => n + 1);
    void document.fonts.ready.then(again);
    const seen = new ResizeObserver(() => box.current !== null && setSize([box.current.clientWidth, box.current.clientHeight]));
    seen.observe(box.current!);
    return () => seen.disconnect();
  }, []);

  const { low, high, tint } = field.rule;
  const letters = (ctx: CanvasRenderingContext2D, at: typeof paper) => {
    const { colours, type } = dress(field.rule);
    if (painter.current !== null) annotate(ctx, painter.current, { cells, rule: field.rule, cut: planes, turn: from, paper: at, colours, type, sensors });
  };
  useLayoutEffect(() => painter.current?.setCells(cells), [cells]);
  useLayoutEffect(() => painter.current?.setColours(dress(field.rule).colours), [cells, dark.value, low, high, tint, inKelvins()]);
  useLayoutEffect(() => painter.current?.setField(field), [field]);
  useLayoutEffect(() => painter.current?.setWater(water), [water]);
  useLayoutEffect(() => painter.current?.setCut(planes), [cells, cutAsSaid()]);
  useLayoutEffect(() => {
    const p = painter.current;
    if (p === null || size[0] === 0) return;
    p.setPaper(paper);
    p.setTurn(from);
    p.painted = () => {
      const o = over.current;
      if (o === null) return;
      const [w, h] = [Math.round(paper.wide * paper.fine), Math.round(paper.high * paper.fine)];
      if (o.width !== w || o.height !== h) [o.width, o.height] = [w, h];
      letters(o.getContext("2d")!, paper);
    };
  }, [cells, field, faces, dark.value, size[0], size[1], turnAsSaid(), cutAsSaid(), chosen.value, read]);

  if (missing) return <p class="later">This browser gives no WebGL2, by which the cut-away is drawn. The section shows the same temperatures.</p>;
  return (
    <>
      <div
        class="turned"
        ref={box}
        tabIndex={0}
        role="application"
        aria-roledescription="drawing that can be turned"
        aria-label="Cut-away. Arrows turn it, plus and minus bring it nearer or farther, zero shows the whole; x, y and z take a plane in hand, comma and full stop move it"
        aria-describedby="cut-away-in-words"
        onKeyDown={(e) => turned(e) && e.preventDefault()}
        onPointerDown={(e) => drag(e, box.current!)}
        onDblClick={wholeTurn}
      >
        <canvas ref={canvas} aria-hidden="true" />
        <canvas ref={over} aria-hidden="true" />
      </div>
      <p id="cut-away-in-words" class="heard">
        {viewInWords(planes, from, field)} {parts} {sensors.filter((s) => s.reads !== "").map((s) => `Sensor ${s.number}, ${s.name}, reads ${s.reads}.`).join(" ")}
      </p>
      <p class="save">
        save as <button onClick={() => void tried(png(painter.current!, paper, letters).then((b) => save(b, `${cells.run.replace(/\.ya?ml$/, "")}-cut-away-${clock(field.time_s).replace(":", "-")}.png`)))}>PNG</button>
      </p>
    </>
  );
}

/** turned answers the keys of the drawing. */
function turned(e: KeyboardEvent): boolean {
  const t = turn();
  const step = e.shiftKey ? 15 : 3;
  if (e.ctrlKey || e.metaKey || e.altKey) return false;
  if (e.key === "ArrowLeft") setTurn({ ...t, around: t.around + step });
  else if (e.key === "ArrowRight") setTurn({ ...t, around: t.around - step });
  else if (e.key === "ArrowUp") setTurn({ ...t, above: t.above - step });
  else if (e.key === "ArrowDown") setTurn({ ...t, above: t.above + step });
  else if (e.key === "+" || e.key === "=") setTurn({ ...t, zoom: t.zoom * 1.2 });
  else if (e.key === "-" || e.key === "\u2212") setTurn({ ...t, zoom: t.zoom / 1.2 });
  else if (e.key === "0") wholeTurn();
  else return false;
  return true;
}

/** drag turns the drawing by the pointer until it is lifted: half a degree for a pixel. */
function drag(e: PointerEvent, on: HTMLElement): void {
  if (e.button !== 0) return;
  const t = turn();
  on.setPointerCapture(e.pointerId);
  const move = (m: PointerEvent) => setTurn({ ...t, around: t.around - (m.clientX - e.clientX) / 2, above: t.above + (m.clientY - e.clientY) / 2 });
  on.addEventListener("pointermove", move);
  const done = () => on.removeEventListener("pointermove", move);
  on.addEventListener("pointerup", done, { once: true });
  on.addEventListener("pointercancel", done, { once: true });
}

/** png paints the picture for print, three dots to a pixel of the page, and with it what is written on it. */
function png(p: Painter, paper: { wide: number; high: number; fine: number }, letters: (ctx: CanvasRenderingContext2D, at: typeof paper) => void): Promise<Blob> {
  const large = { ...paper, fine: 3.125 }; // 300 to the inch
  const out = document.createElement("canvas");
  const ctx = out.getContext("2d")!;
  const picture = p.large(large, (from) => {
    [out.width, out.height] = [from.width, from.height];
    return createLayer(from);
  });
  const names = document.createElement("canvas");
  [names.width, names.height] = [out.width, out.height];
  letters(names.getContext("2d")!, large);
  ctx.fillStyle = getComputedStyle(document.documentElement).getPropertyValue("--sheet");
  ctx.fillRect(0, 0, out.width, out.height);
  ctx.drawImage(picture, 0, 0);
  ctx.drawImage(names, 0, 0);
  return new Promise((done, failed) => out.toBlob((b) => (b === null ? failed(new Error("the picture cannot be saved")) : done(b)), "image/png"));
}

/** createLayer keeps a picture before its canvas is painted anew. */
function createLayer(from: HTMLCanvasElement): HTMLCanvasElement {
  const c = document.createElement("canvas");
  [c.width, c.height] = [from.width, from.height];
  c.getContext("2d")!.drawImage(from, 0, 0);
  return c;
}
