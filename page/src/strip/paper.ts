// The strip as a picture of its own, for paper and files: set again at its width, in ink on white.
import { faces, room } from "./curves";
import { namesOf, wide, writeNames } from "./names";
import { grid, head, heading, levels, phasesOver, progress, throughLines, timeAxis } from "./paint";
import { type Frame, type Panel, above, beneath, coarseDash, isLight, marks, tick, ticks } from "./panel";
import { type Pen, SvgPen } from "./pen";
import { type Through, paper as c } from "./sheet";
import { moment } from "../sheet/times";

let measuring: CanvasRenderingContext2D | null = null;

/** measured is how wide a text is, px. */
export function measured(text: string, size: number, italic = false): number {
  measuring ??= document.createElement("canvas").getContext("2d");
  if (measuring === null) return text.length * size * 0.55;
  const f = faces();
  measuring.font = `${italic ? "italic " : ""}${size}px ${italic ? f.text : f.lettering}`;
  return measuring.measureText(text).width;
}

const left = 52;

/** asSvg draws all panels below one another. words are those of the events. */
export function asSvg(panels: readonly Panel[], t: Through, words: readonly { at_s: number; text: string }[], title: string, width: number): string {
  const pen = new SvgPen(faces(), measured);
  const all = panels.map((p) => namesOf(p, t.cursor, t.to));
  const right = wide(all, (text, italic) => measured(text, italic ? 12.5 : 11.5, italic)) + 6;
  const flags = flagRows(words.filter((w) => w.at_s >= t.from && w.at_s <= t.to), (s) => left + ((s - t.from) / (t.to - t.from)) * (width - left - right), width - right);
  pen.words(0, 14, title, { size: 13.5, italic: true, colour: c.ink });
  for (const w of flags.set) pen.words(w.x, 34 + 14 * w.row, w.text, { size: 11, anchor: w.anchor, colour: c.ink });
  let top = 30 + 14 * flags.rows;
  panels.forEach((p, i) => {
    const shape = { first: i === 0, last: i === panels.length - 1, scale: 1 };
    const { head: over, foot } = room(shape);
    const at = top + over;
    const f: Frame = {
      left,
      top: at,
      width: width - left - right,
      height: p.tall,
      x: (s) => left + ((s - t.from) / (t.to - t.from)) * (width - left - right),
      y: (v) => at + p.tall - ((v - p.low) / (p.high - p.low)) * p.tall,
    };
    grid(pen, f, levels(p, tick, ticks(p)), t, 11, c);
    beneath(pen, f, p, c);
    curvesOf(pen, f, p);
    above(pen, f, p, c);
    throughLines(pen, f, t, c);
    heading(pen, f, p, 11, c);
    if (shape.first) {
      phasesOver(pen, f, t, 11, c);
      progress(pen, f, t, 11, c);
      head(pen, f, t, c);
    }
    if (shape.last) timeAxis(pen, f, t, 11, c);
    writeNames(pen, f, p, all[i]!, right - 6, 12.5, c);
    top += over + p.tall + foot;
  });
  return pen.text(width, top + 8, `${title}, over ${moment(t.to)}`, c.sheet);
}

function curvesOf(pen: Pen, f: Frame, p: Panel): void {
  pen.within(f.left - 4, f.top - 4, f.width + 8, f.height + 8, () => {
    for (const one of p.curves) {
      const colour = one.water ? c.water : c.ink;
      if (p.apart !== null && p.measured) marks(pen, f, p.time, one.values, one.kind, colour, c.sheet);
      else if (!isLight(one.name)) {
        const points = p.time.map((t, i) => (one.values[i] === null || one.values[i] === undefined ? null : ([f.x(t), f.y(one.values[i])] as const)));
        pen.line(points, { colour, width: 1.2, ...(p.dashed ? { dash: coarseDash } : {}) });
      }
    }
  });
}

export interface Flag {
  text: string;
  at_s: number;
  x: number;
  row: number;
  anchor: "start" | "end";
}

/** flagRows puts the words of events into rows so that none runs into another. */
export function flagRows(words: readonly { at_s: number; text: string }[], x: (s: number) => number, edge: number, size = 11): { set: Flag[]; rows: number } {
  const taken: [number, number][][] = [];
  const set: Flag[] = [];
  for (const w of words) {
    const at = x(w.at_s);
    const long = measured(w.text, size) + 14;
    const anchor = at + long > edge && at >= long ? "end" : "start"; // where neither side has room, to the right
    const span: [number, number] = anchor === "start" ? [at, at + long] : [at - long, at];
    let row = taken.findIndex((r) => r.every(([a, b]) => span[1] < a || span[0] > b));
    if (row < 0) row = taken.push([]) - 1;
    taken[row]!.push(span);
    set.push({ ...w, x: at + (anchor === "start" ? 3 : -3), row, anchor });
  }
  return { set, rows: taken.length };
}
