// Two pens that draw alike: one on the screen's canvas, one into SVG text for paper and files. Lengths are CSS px.

import { openMark } from "../sheet/openmark";

export interface Look {
  colour: string;
  width: number;
  dash?: readonly number[];
  /** 0 to 1 */
  alpha?: number;
}

export interface Words {
  size?: number;
  italic?: boolean;
  anchor?: "start" | "middle" | "end";
  colour: string;
  /** the paper shows around them */
  halo?: string;
  /** the ground that they stand on, for a number in a box */
  ground?: string;
}

export interface Faces {
  text: string;
  lettering: string;
}

type Point = readonly [number, number];

export interface Pen {
  /** an open line; null lifts the pen */
  line(points: readonly (Point | null)[], look: Look): void;
  fill(points: readonly Point[], colour: string, alpha?: number): void;
  mark(x: number, y: number, kind: number, colour: string, paper: string): void;
  words(x: number, y: number, text: string, how: Words): void;
  /** what lies outside of a rectangle is left out until it is ended */
  within(x: number, y: number, width: number, height: number, draw: () => void): void;
}

const half = 2.8; // of an open mark

export class CanvasPen implements Pen {
  constructor(
    private readonly c: CanvasRenderingContext2D,
    private readonly faces: Faces,
    ratio: number,
  ) {
    c.save();
    c.setTransform(ratio, 0, 0, ratio, 0, 0);
    c.lineJoin = "round";
  }
  /** end gives the canvas back as it was. */
  end(): void {
    this.c.restore();
  }
  line(points: readonly (Point | null)[], { colour, width, dash = [], alpha = 1 }: Look): void {
    const c = this.c;
    c.globalAlpha = alpha;
    c.strokeStyle = colour;
    c.lineWidth = width;
    c.setLineDash([...dash]);
    c.beginPath();
    let down = false;
    for (const p of points) {
      if (p === null) down = false;
      else if (down) c.lineTo(p[0], p[1]);
      else {
        c.moveTo(p[0], p[1]);
        down = true;
      }
    }
    c.stroke();
    c.setLineDash([]);
    c.globalAlpha = 1;
  }
  fill(points: readonly Point[], colour: string, alpha = 1): void {
    this.trace(points);
    this.c.globalAlpha = alpha;
    this.c.fillStyle = colour;
    this.c.fill();
    this.c.globalAlpha = 1;
  }
  private trace(points: readonly Point[]): void {
    this.c.beginPath();
    points.forEach(([x, y], i) => (i === 0 ? this.c.moveTo(x, y) : this.c.lineTo(x, y)));
    this.c.closePath();
  }
  mark(x: number, y: number, kind: number, colour: string, paper: string): void {
    const shape = new Path2D(openMark(kind, x, y, half));
    this.c.fillStyle = paper;
    this.c.fill(shape);
    this.c.strokeStyle = colour;
    this.c.lineWidth = 0.9;
    this.c.stroke(shape);
  }
  words(x: number, y: number, text: string, { size = 11.5, italic = false, anchor = "start", colour, halo, ground }: Words): void {
    const c = this.c;
    c.font = `${italic ? "italic " : ""}${size}px ${italic ? this.faces.text : this.faces.lettering}`;
    c.textAlign = anchor === "middle" ? "center" : anchor;
    c.textBaseline = "alphabetic";
    if (ground !== undefined) {
      const w = c.measureText(text).width + 10;
      const left = anchor === "middle" ? x - w / 2 : anchor === "end" ? x - w + 5 : x - 5;
      c.fillStyle = ground;
      c.fillRect(left, y - size - 1, w, size + 5);
    }
    if (halo !== undefined) {
      c.strokeStyle = halo;
      c.lineWidth = 3.5;
      c.strokeText(text, x, y);
    }
    c.fillStyle = colour;
    c.fillText(text, x, y);
  }
  within(x: number, y: number, width: number, height: number, draw: () => void): void {
    this.c.save();
    this.c.beginPath();
    this.c.rect(x, y, width, height);
    this.c.clip();
    draw();
    this.c.restore();
  }
}

const short = (x: number) => String(Math.round(x * 10) / 10);
const safe = (s: string) => s.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");

export class SvgPen implements Pen {
  private readonly out: string[] = [];
  private clips = 0;
  constructor(
    private readonly faces: Faces,
    private readonly measure: (text: string, size: number) => number,
  ) {}
  line(points: readonly (Point | null)[], { colour, width, dash = [], alpha = 1 }: Look): void {
    const d: string[] = [];
    let down = false;
    for (const p of points) {
      if (p === null) {
        down = false;
        continue;
      }
      d.push(`${down ? "L" : "M"}${short(p[0])} ${short(p[1])}`);
      down = true;
    }
    if (d.length < 2) return;
    const more = (dash.length > 0 ? ` stroke-dasharray="${dash.join(" ")}"` : "") + (alpha < 1 ? ` opacity="${alpha}"` : "");
    this.out.push(`<path d="${d.join("")}" fill="none" stroke="${colour}" stroke-width="${width}" stroke-linejoin="round"${more}/>`);
  }
  fill(points: readonly Point[], colour: string, alpha = 1): void {
    if (points.length < 3) return;
    this.out.push(`<path d="M${points.map(([x, y]) => `${short(x)} ${short(y)}`).join("L")}Z" fill="${colour}"${alpha < 1 ? ` opacity="${alpha}"` : ""}/>`);
  }
  mark(x: number, y: number, kind: number, colour: string, paper: string): void {
    this.out.push(`<path d="${openMark(kind, Number(short(x)), Number(short(y)), half)}" fill="${paper}" stroke="${colour}" stroke-width="0.9"/>`);
  }
  words(x: number, y: number, text: string, { size = 11.5, italic = false, anchor = "start", colour, halo, ground }: Words): void {
    if (ground !== undefined) {
      const w = this.measure(text, size) + 10;
      const left = anchor === "middle" ? x - w / 2 : anchor === "end" ? x - w + 5 : x - 5;
      this.out.push(`<rect x="${short(left)}" y="${short(y - size - 1)}" width="${short(w)}" height="${short(size + 5)}" fill="${ground}"/>`);
    }
    const around = halo === undefined ? "" : ` stroke="${halo}" stroke-width="3.5" stroke-linejoin="round" paint-order="stroke"`;
    this.out.push(
      `<text x="${short(x)}" y="${short(y)}" font-family="${safe(italic ? this.faces.text : this.faces.lettering)}" font-size="${size}"${italic ? ' font-style="italic"' : ""} text-anchor="${anchor}" fill="${colour}"${around}>${safe(text)}</text>`,
    );
  }
  within(x: number, y: number, width: number, height: number, draw: () => void): void {
    const id = `strip${++this.clips}`;
    this.out.push(`<clipPath id="${id}"><rect x="${short(x)}" y="${short(y)}" width="${short(width)}" height="${short(height)}"/></clipPath><g clip-path="url(#${id})">`);
    draw();
    this.out.push("</g>");
  }
  /** text is the picture of a size. */
  text(width: number, height: number, title: string, paper: string): string {
    return (
      `<svg xmlns="http://www.w3.org/2000/svg" width="${short(width)}" height="${short(height)}" viewBox="0 0 ${short(width)} ${short(height)}" role="img" aria-label="${safe(title)}">` +
      `<rect width="100%" height="100%" fill="${paper}"/>${this.out.join("")}</svg>`
    );
  }
}
