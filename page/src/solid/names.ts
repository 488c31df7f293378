// What is written around the cut-away: names of parts at leaders, the rule of temperature, the directions and a length to scale.
// It is laid on a paper of its own above the picture, so that letters stay sharp and a saved picture has them at its own size.
import { fixed } from "../sheet/numbers";
import { reading } from "../sheet/units";
import type { Cells, Point, Rule } from "./cells";
import { axes, frameOf, type Cut, type Turn } from "./cut";
import { extentOf, margin, type Colours, type Painter, type Paper } from "./painter";
import { perRectangle, type Surface } from "./surface";

export interface Type {
  /** faces of names and of numbers, and further colours */
  text: string;
  lettering: string;
  ink2: string;
  line: string;
  /** times the size of text on a plain page */
  em: number;
}

type Spot = [number, number];

/** what is written around */
export interface Sight {
  cells: Cells;
  rule: Rule;
  cut: Cut;
  turn: Turn;
  paper: Paper;
  colours: Colours;
  type: Type;
  sensors: Reading[];
}

/** a sensor of the run: where it sits, and what it reads at the moment that is drawn */
export interface Reading {
  number: number;
  name: string;
  at_m: Point;
  /** with its unit; empty: nothing is known */
  reads: string;
}

export function annotate(ctx: CanvasRenderingContext2D, of: Painter, sight: Sight): void {
  const { paper } = sight;
  ctx.setTransform(paper.fine, 0, 0, paper.fine, 0, 0);
  ctx.clearRect(0, 0, paper.wide, paper.high);
  ctx.lineCap = "butt";
  leaders(ctx, of, sight);
  sensors(ctx, of, sight);
  scale(ctx, sight);
  directions(ctx, sight);
  length(ctx, of, sight);
}

/** write sets a text that reads on the drawing too, where that reaches below it. */
function write(ctx: CanvasRenderingContext2D, colours: Colours, text: string, x: number, y: number): void {
  ctx.lineWidth = 3.5;
  ctx.lineJoin = "round";
  ctx.strokeStyle = colours.sheet;
  ctx.strokeText(text, x, y);
  ctx.fillText(text, x, y);
}

/** leaders name every look at a spot of it that is seen. */
function leaders(ctx: CanvasRenderingContext2D, of: Painter, { cells, cut, turn, paper, colours, type }: Sight): void {
  const shape = of.shape;
  if (shape === null) return;
  const eye = frameOf(turn).eye;
  const named: { name: string[]; to: Spot; y: number }[] = [];
  shape.looks.forEach((l, i) => {
    const spot = seen(shape, i, cells, cut, eye, of, paper);
    if (spot !== undefined) named.push({ name: l.name.split(", "), to: spot, y: spot[1] });
  });
  named.sort((a, b) => a.to[1] - b.to[1]);
  const line = 14 * type.em;
  let below = margin.top + 10;
  for (const n of named) {
    n.y = Math.max(n.y, below);
    below = n.y + line * n.name.length + 4;
  }
  let above = paper.high - margin.bottom - 40;
  for (const n of [...named].reverse()) {
    n.y = Math.min(n.y, above - line * (n.name.length - 1));
    above = n.y - line - 4;
  }
  ctx.font = `italic ${12.5 * type.em}px ${type.text}`;
  ctx.textAlign = "left";
  ctx.textBaseline = "middle";
  for (const n of named) {
    const from = 4 + ctx.measureText(n.name[0]!).width + 5;
    for (const [colour, width] of [[colours.sheet, 3], [colours.ink, 0.7]] as const) {
      ctx.strokeStyle = colour;
      ctx.lineWidth = width;
      ctx.beginPath();
      ctx.moveTo(from, n.y);
      ctx.lineTo(Math.max(from, Math.min(n.to[0] - 14, margin.left - 4)), n.y);
      ctx.lineTo(...n.to);
      ctx.stroke();
    }
    ctx.fillStyle = colours.sheet;
    disc(ctx, n.to, 3);
    ctx.fillStyle = colours.ink;
    disc(ctx, n.to, 1.8);
    n.name.forEach((s, k) => write(ctx, colours, s, 4, n.y + line * k));
  }
}

/** sensors stand as numbered circles with what they read, where there is room for it: the table beside has it in any case. One that
 * something solid hides has a broken rim. */
function sensors(ctx: CanvasRenderingContext2D, of: Painter, { sensors: all, cells, cut, turn, paper, colours, type }: Sight): void {
  const eye = frameOf(turn).eye;
  const r = 7.5 * type.em;
  const stand = all
    .map((s) => {
      const [x, y] = of.place(s.at_m);
      return { ...s, at: [x, y] as Spot };
    })
    .filter(({ at: [x, y] }) => x >= r && y >= r && x <= paper.wide - r && y <= paper.high - r);
  ctx.textBaseline = "middle";
  const taken: Box[] = stand.map(({ at: [x, y] }) => [x - r, y - r, x + r, y + r]);
  for (const s of stand) {
    const [x, y] = s.at;
    ctx.fillStyle = colours.sheet;
    disc(ctx, [x, y], r);
    ctx.strokeStyle = ctx.fillStyle = colours.ink;
    ctx.lineWidth = 1;
    ctx.setLineDash(free(s.at_m, eye, cells, cut) ? [] : [2.5, 2]);
    ctx.beginPath();
    ctx.arc(x, y, r, 0, 2 * Math.PI);
    ctx.stroke();
    ctx.setLineDash([]);
    ctx.font = `${11 * type.em}px ${type.lettering}`;
    ctx.textAlign = "center";
    ctx.fillText(String(s.number), x, y + 0.5);
  }
  ctx.textAlign = "left";
  for (const s of stand.filter((s) => s.reads !== "")) {
    const wide = ctx.measureText(s.reads).width;
    const box = around(s.at, r, wide, 7 * type.em).find((b) => b[0] >= 0 && b[2] <= paper.wide && !taken.some((t) => overlap(b, t)));
    if (box === undefined) continue;
    taken.push(box);
    const y = (box[1] + box[3]) / 2;
    write(ctx, colours, s.reads, box[0], y);
  }
}

type Box = [left: number, top: number, right: number, bottom: number];

/** around are the places for a text beside, above or below a circle. */
function around([x, y]: Spot, r: number, wide: number, half: number): Box[] {
  const at = (left: number, middle: number): Box => [left, middle - half, left + wide, middle + half];
  return [at(x + r + 4, y), at(x - r - 4 - wide, y), at(x - wide / 2, y - r - half), at(x - wide / 2, y + r + half)];
}

const overlap = (a: Box, b: Box) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];

function disc(ctx: CanvasRenderingContext2D, [x, y]: Spot, r: number): void {
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  ctx.fill();
}

/** seen finds a spot on the paper where a look is seen: on what was cut before what was not, as far left as may be. */
function seen(shape: Surface, look: number, cells: Cells, cut: Cut, eye: readonly number[], of: Painter, paper: Paper): Spot | undefined {
  for (const flag of [1, 0]) {
    const found: { i: number; area: number }[] = [];
    for (let i = 0; i < shape.rectangles.length; i += perRectangle) {
      const r = shape.rectangles;
      if (r[i + 7] !== look * 2 + flag) continue;
      const area = (r[i + 4]! - r[i + 2]!) * (r[i + 5]! - r[i + 3]!) * Math.abs(eye[r[i]!]!);
      if (area > 0) found.push({ i, area });
    }
    found.sort((a, b) => b.area - a.area);
    let best: Spot | undefined;
    for (const { i } of found.slice(0, 8)) {
      const r = shape.rectangles;
      for (const u of [0.12, 0.3, 0.5, 0.7, 0.88])
        for (const v of [0.12, 0.3, 0.5, 0.7, 0.88]) {
          const p = [0, 0, 0];
          p[r[i]!] = r[i + 1]!;
          p[(r[i]! + 1) % 3] = r[i + 2]! + u * (r[i + 4]! - r[i + 2]!);
          p[(r[i]! + 2) % 3] = r[i + 3]! + v * (r[i + 5]! - r[i + 3]!);
          const [x, y] = of.place(p);
          if (best !== undefined && x >= best[0]) continue;
          if (x > 0 && y > 0 && x < paper.wide && y < paper.high && free(p, eye, cells, cut)) best = [x, y];
        }
    }
    if (best !== undefined) return best;
  }
  return undefined;
}

/** free tells whether nothing solid stands between a point and the eye. */
function free(p: readonly number[], eye: readonly number[], cells: Cells, cut: Cut): boolean {
  const step = Math.max(...extentOf(cells)) / 80;
  const some = cut.some((c) => c.on);
  for (let n = 0.3; n < 200; n++) {
    let cell = 0;
    let away = some;
    for (let a = 2; a >= 0; a--) {
      const q = p[a]! + eye[a]! * step * n;
      const i = find(cells.lines_m[a]!, q);
      if (i < 0) return true;
      const c = cut[a]!;
      if (c.on && (c.side === 1 ? q <= c.at : q >= c.at)) away = false;
      cell = cell * cells.counts[a]! + i;
    }
    if (!away && cells.part[cell]! >= 0) return false;
  }
  return true;
}

function find(l: number[], x: number): number {
  let [low, high] = [0, l.length - 1];
  if (!(x >= l[0]! && x <= l[high]!)) return -1;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (l[mid]! <= x) low = mid;
    else high = mid;
  }
  return low;
}

/** scale draws the temperatures' colours with their numbers, as the reader wants them. */
function scale(ctx: CanvasRenderingContext2D, { rule: c, paper, colours, type }: Sight): void {
  const [x, top, bottom] = [paper.wide - 52, margin.top + 24, paper.high - margin.bottom - 8];
  const y = (T: number) => bottom - ((T - c.low) / (c.high - c.low)) * (bottom - top);
  colours.tints.forEach((t, i) => {
    ctx.fillStyle = t;
    const from = y(c.low + i * c.tint);
    const to = y(c.low + (i + 1) * c.tint);
    ctx.fillRect(x, to, 14, from - to + 0.5);
  });
  ctx.strokeStyle = colours.ink;
  ctx.lineWidth = 1;
  ctx.strokeRect(x, top, 14, bottom - top);
  const r = reading("degC");
  ctx.fillStyle = colours.ink;
  ctx.font = `${11 * type.em}px ${type.lettering}`;
  ctx.textBaseline = "middle";
  ctx.textAlign = "left";
  write(ctx, colours, r.name, x, top - 12);
  ctx.font = `${10.5 * type.em}px ${type.lettering}`;
  const zero = r.of(0);
  for (let k = Math.ceil((c.low + zero) / c.isotherm - 1e-9); k * c.isotherm <= c.high + zero + 1e-6; k++) {
    const shown = k * c.isotherm;
    const T = shown - zero;
    ctx.strokeStyle = colours.ink;
    ctx.lineWidth = 0.7;
    ctx.beginPath();
    ctx.moveTo(x + 14, y(T));
    ctx.lineTo(x + 18, y(T));
    ctx.stroke();
    write(ctx, colours, fixed(shown, 0), x + 21, y(T));
  }
}

/** directions shows how depth, width and height run on the paper. */
function directions(ctx: CanvasRenderingContext2D, { turn, paper, colours, type }: Sight): void {
  const f = frameOf(turn);
  const [x, y] = [44, paper.high - 44];
  ctx.font = `italic ${12 * type.em}px ${type.text}`;
  ctx.textBaseline = "middle";
  ctx.fillStyle = type.ink2;
  axes.forEach((name, a) => {
    const d: Spot = [f.right[a]! * 24, -f.up[a]! * 24];
    const l = Math.hypot(...d);
    if (l < 5) return; // it points at the eye
    ctx.strokeStyle = type.ink2;
    ctx.lineWidth = 0.8;
    ctx.beginPath();
    ctx.moveTo(x, y);
    ctx.lineTo(x + d[0], y + d[1]);
    ctx.stroke();
    arrow(ctx, [x + d[0], y + d[1]], [d[0] / l, d[1] / l]);
    ctx.textAlign = d[0] > 4 ? "left" : d[0] < -4 ? "right" : "center";
    write(ctx, colours, name, x + d[0] + (d[0] / l) * 6, y + d[1] + (d[1] / l) * 9);
  });
}

/** arrow is a slender closed arrowhead whose tip stands at a spot. */
function arrow(ctx: CanvasRenderingContext2D, [x, y]: Spot, [dx, dy]: Spot): void {
  ctx.beginPath();
  ctx.moveTo(x, y);
  ctx.lineTo(x - 8 * dx - 1.25 * dy, y - 8 * dy + 1.25 * dx);
  ctx.lineTo(x - 8 * dx + 1.25 * dy, y - 8 * dy - 1.25 * dx);
  ctx.fill();
}

/** length shows a round length at the drawing's scale: along the paper, which what is turned away falls short of. */
function length(ctx: CanvasRenderingContext2D, of: Painter, { paper, colours, type }: Sight): void {
  const s = of.scale();
  const m = [2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001].find((x) => x * s <= 130) ?? 0.001;
  const [right, y] = [paper.wide - margin.right, paper.high - 16];
  const left = right - m * s;
  ctx.strokeStyle = ctx.fillStyle = colours.ink;
  ctx.lineWidth = 0.7;
  ctx.beginPath();
  ctx.moveTo(left, y);
  ctx.lineTo(right, y);
  for (const x of [left, right]) {
    ctx.moveTo(x, y - 5);
    ctx.lineTo(x, y + 5);
  }
  ctx.stroke();
  arrow(ctx, [left, y], [-1, 0]);
  arrow(ctx, [right, y], [1, 0]);
  ctx.font = `${11 * type.em}px ${type.lettering}`;
  ctx.textAlign = "center";
  ctx.textBaseline = "alphabetic";
  write(ctx, colours, `${fixed(m * 1e3, 0)}\u2009mm`, (left + right) / 2, y - 4);
}
