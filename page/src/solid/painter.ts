// Paints the cut-away by WebGL2. It paints when it is told to and rests otherwise; what it was given it gives again to a context
// that the browser has lost and restored.
import { roundStep } from "../sheet/scale";
import { reading } from "../sheet/units";
import { rangeOf, type Cells, type Field, type Water } from "./cells";
import { frameOf, type Cut, type Turn } from "./cut";
import { bind, corners, finderLength, found, make, plain, type Made } from "./gl";
import { pane } from "./pane";
import { perEdge, surface, type Surface } from "./surface";
import { along, rowsOf, tubes, wetness } from "./tubes";

export interface Colours {
  ink: string;
  sheet: string;
  water: string;
  /** one for each step of the rule */
  tints: string[];
}

/** what fits on the paper, in CSS pixels */
export interface Paper {
  wide: number;
  high: number;
  /** pixels of the picture to one of CSS */
  fine: number;
}

/** room around the drawing for names and the rule, px */
export const margin = { left: 96, right: 104, top: 14, bottom: 36 };

export class Painter {
  private made: Made | null = null;
  private cells: Cells | null = null;
  private field: Field | null = null;
  private wet: Water | null = null;
  private cut: Cut | null = null;
  private colours: Colours | null = null;
  private turn: Turn = { around: 0, above: 0, zoom: 1 };
  private paper: Paper = { wide: 1, high: 1, fine: 1 };
  private due = 0;
  private tubesFor = 0;
  /** K, of isotherms inside the block */
  private inner = 0;
  shape: Surface | null = null;
  /** told after each picture */
  painted: () => void = () => {};

  constructor(private readonly canvas: HTMLCanvasElement) {
    canvas.addEventListener("webglcontextlost", (e) => {
      e.preventDefault();
      this.made = null;
    });
    canvas.addEventListener("webglcontextrestored", () => {
      this.begin();
      this.paint();
    });
  }

  /** begin makes what the pictures need; false: the browser gives no WebGL2. */
  begin(): boolean {
    const gl = this.canvas.getContext("webgl2", { alpha: true, antialias: false, depth: true, powerPreference: "low-power" });
    if (gl === null) return false;
    if (gl.isContextLost()) return true; // it comes back
    this.made = make(gl);
    this.tubesFor = 0;
    const { field, cut } = this;
    if (this.cells !== null) this.setCells(this.cells); // which takes what was drawn of others away
    if (this.colours !== null) this.setColours(this.colours);
    if (field !== null) this.setField(field);
    if (cut !== null) this.setCut(cut);
    this.setWater(this.wet);
    return true;
  }

  end(): void {
    cancelAnimationFrame(this.due);
    this.due = 0;
    this.made?.gl.getExtension("WEBGL_lose_context")?.loseContext();
    this.made = null;
  }

  setCells(c: Cells): void {
    this.cells = c;
    this.field = null;
    this.cut = null;
    this.tubesFor = 0;
    if (this.made === null) return;
    const { gl, finder } = this.made;
    const rows = new Float32Array(6 * finderLength);
    c.lines_m.forEach((l, a) => rows.set(found(l), 2 * a * finderLength));
    gl.bindTexture(gl.TEXTURE_2D, finder);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RG32F, finderLength, 3, 0, gl.RG, gl.FLOAT, rows);
    plain(gl, gl.TEXTURE_2D);
  }

  setField(f: Field): void {
    this.field = f;
    if (this.made === null || this.cells === null) return;
    const all = new Float32Array(4 * f.temperature.length);
    for (let i = 0, k = 0; i < f.temperature.length; i++, k += 4) {
      all[k] = f.temperature[i]!;
      all[k + 1] = f.melted[i]!;
      all[k + 2] = f.inside[i]!;
    }
    const { gl, field } = this.made;
    const [x, y, z] = this.cells.counts;
    gl.bindTexture(gl.TEXTURE_3D, field);
    gl.texImage3D(gl.TEXTURE_3D, 0, gl.RGBA32F, x, y, z, 0, gl.RGBA, gl.FLOAT, all);
    plain(gl, gl.TEXTURE_3D);
    this.inner = innerStep(this.cells, f);
    this.wish();
  }

  setWater(w: Water | null): void {
    this.wet = w;
    if (this.made === null || this.cells === null) return;
    const { gl, water } = this.made;
    gl.bindTexture(gl.TEXTURE_2D, water);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.R8UI, along, rowsOf(this.cells).count, 0, gl.RED_INTEGER, gl.UNSIGNED_BYTE, wetness(this.cells, w));
    plain(gl, gl.TEXTURE_2D);
    this.wish();
  }

  setCut(cut: Cut): void {
    this.cut = cut;
    if (this.cells === null) return;
    this.shape = surface(this.cells, cut);
    this.shape.edges = new Float32Array([...this.shape.edges, ...pane(this.cells, cut)]);
    if (this.made === null) return;
    const { gl, faces, edges } = this.made;
    const v = corners(this.shape.rectangles);
    gl.bindBuffer(gl.ARRAY_BUFFER, faces.buffer);
    gl.bufferData(gl.ARRAY_BUFFER, v, gl.DYNAMIC_DRAW);
    faces.count = v.length / 6;
    gl.bindBuffer(gl.ARRAY_BUFFER, edges.buffer);
    gl.bufferData(gl.ARRAY_BUFFER, this.shape.edges, gl.DYNAMIC_DRAW);
    edges.count = this.shape.edges.length / perEdge;
    this.wish();
  }

  setColours(c: Colours): void {
    this.colours = c;
    if (this.made === null) return;
    const { gl, tints } = this.made;
    gl.bindTexture(gl.TEXTURE_2D, tints);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, c.tints.length, 1, 0, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(c.tints.flatMap((t) => [...parsed(t).map((x) => Math.round(255 * x)), 255])));
    plain(gl, gl.TEXTURE_2D);
    this.paint(); // at once: paper does not wait
  }

  setTurn(t: Turn): void {
    this.turn = t;
    this.wish();
  }

  setPaper(p: Paper): void {
    this.paper = p;
    this.wish();
  }

  /** scale is how many CSS pixels a metre has on the paper: so that the whole fits however it is turned. */
  scale(): number {
    if (this.cells === null) return 1;
    const [x, y, z] = extentOf(this.cells);
    const level = Math.hypot(x, y);
    const wide = (this.paper.wide - margin.left - margin.right) / level;
    const high = (this.paper.high - margin.top - margin.bottom) / Math.hypot(level, z);
    return Math.min(wide, high) * this.turn.zoom;
  }

  /** place is where a point of the receiver lies on the paper, in CSS pixels, and how near it is to the eye, in m. */
  place(p: readonly number[]): [number, number, number] {
    const f = frameOf(this.turn);
    const c = this.centre();
    const on = (d: readonly number[]) => (p[0]! - c[0]) * d[0]! + (p[1]! - c[1]) * d[1]! + (p[2]! - c[2]) * d[2]!;
    const s = this.scale();
    const [x, y] = this.middle();
    return [x + on(f.right) * s, y - on(f.up) * s, on(f.eye)];
  }

  private middle(): [number, number] {
    return [(this.paper.wide + margin.left - margin.right) / 2, (this.paper.high + margin.top - margin.bottom) / 2];
  }

  private centre(): [number, number, number] {
    const l = this.cells!.lines_m;
    return [0, 1, 2].map((a) => (l[a]![0]! + l[a]!.at(-1)!) / 2) as [number, number, number];
  }

  /** wish has a picture painted before the next one is shown. */
  wish(): void {
    if (this.due !== 0) return;
    this.due = requestAnimationFrame(() => {
      this.due = 0;
      this.paint();
    });
  }

  ready(): boolean {
    return this.made !== null && this.cells !== null && this.field !== null && this.shape !== null && this.colours !== null;
  }

  paint(): void {
    if (!this.ready()) return;
    const { wide, high, fine } = this.paper;
    const [w, h] = [Math.round(wide * fine), Math.round(high * fine)];
    if (this.canvas.width !== w || this.canvas.height !== h) [this.canvas.width, this.canvas.height] = [w, h];
    const m = this.made!;
    const gl = m.gl;
    gl.viewport(0, 0, w, h);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.disable(gl.BLEND);
    this.paintFaces(m);
    this.paintTubes(m);
    this.paintEdges(m);
    this.painted();
  }

  /** large paints on a larger paper, hands the picture over, and paints the page's own again. */
  large<T>(paper: Paper, take: (from: HTMLCanvasElement) => T): T {
    const mine = this.paper;
    const told = this.painted;
    this.painted = () => {};
    this.paper = paper;
    this.paint();
    const out = take(this.canvas);
    this.paper = mine;
    this.painted = told;
    this.paint();
    return out;
  }

  /** use begins with a program and tells it where things lie. */
  private use(m: Made, program: WebGLProgram): (name: string) => WebGLUniformLocation | null {
    const gl = m.gl;
    const at = (name: string) => gl.getUniformLocation(program, name);
    gl.useProgram(program);
    const f = frameOf(this.turn);
    gl.uniform3fv(at("right"), f.right);
    gl.uniform3fv(at("up"), f.up);
    gl.uniform3fv(at("eye"), f.eye);
    const s = this.scale();
    const { wide, high, fine } = this.paper;
    // the middle of the drawing lies beside that of the paper: the margins differ
    const [x, y] = this.middle();
    const c = this.centre();
    const [dx, dy] = [(wide / 2 - x) / s, (y - high / 2) / s];
    gl.uniform3fv(at("centre"), c.map((v, a) => v + f.right[a]! * dx + f.up[a]! * dy));
    gl.uniform2f(at("half_m"), wide / 2 / s, high / 2 / s);
    gl.uniform1f(at("reach"), 0.75 * Math.hypot(...extentOf(this.cells!)) + 0.05);
    gl.uniform1f(at("perMetre"), s);
    gl.uniform1f(at("fine"), fine);
    gl.uniform4f(at("ink"), ...parsed(this.colours!.ink), 1);
    gl.uniform4f(at("sheet"), ...parsed(this.colours!.sheet), 1);
    return at;
  }

  private paintFaces(m: Made): void {
    const gl = m.gl;
    const c = this.cells!;
    const at = this.use(m, m.face);
    bind(gl, 0, gl.TEXTURE_3D, m.field, at("field"));
    bind(gl, 1, gl.TEXTURE_2D, m.finder, at("finder"));
    bind(gl, 2, gl.TEXTURE_2D, m.tints, at("tints"));
    const looks = new Int32Array(4 * 32);
    this.shape!.looks.slice(0, 32).forEach((l, i) => looks.set([["block", "insulation", "jacket", "fixtures", "boxes"].indexOf(l.role), l.melts ? 1 : 0], 4 * i));
    gl.uniform4iv(at("looks"), looks);
    gl.uniform3fv(at("low"), c.lines_m.map((l) => l[0]!));
    gl.uniform3fv(at("extent"), extentOf(c));
    const r = this.field!.rule;
    gl.uniform4f(at("rule"), r.low, r.high, r.tint, r.isotherm);
    gl.uniform1f(at("inner"), this.inner);
    gl.uniform1f(at("zero"), -reading("degC").of(0));
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    gl.bindVertexArray(m.faces.vao);
    gl.drawArrays(gl.TRIANGLES, 0, m.faces.count);
    gl.disable(gl.POLYGON_OFFSET_FILL);
  }

  private paintTubes(m: Made): void {
    const gl = m.gl;
    const s = this.scale();
    if (this.tubesFor !== s) {
      this.tubesFor = s;
      const t = tubes(this.cells!, 2 / s);
      gl.bindVertexArray(m.pipes.vao);
      gl.bindBuffer(gl.ARRAY_BUFFER, m.pipes.buffer);
      gl.bufferData(gl.ARRAY_BUFFER, t.vertices, gl.STATIC_DRAW);
      gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, t.triangles, gl.STATIC_DRAW);
      m.pipes.count = t.triangles.length;
    }
    if (m.pipes.count === 0) return;
    const at = this.use(m, m.tube);
    bind(gl, 0, gl.TEXTURE_2D, m.water, at("water"));
    gl.uniform1f(at("radius"), Math.max(2 / s, ...this.cells!.tubes.map((t) => t.outer_m / 2)));
    gl.uniform4f(at("wet"), ...parsed(this.colours!.water), 1);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    gl.bindVertexArray(m.pipes.vao);
    gl.drawElements(gl.TRIANGLES, m.pipes.count, gl.UNSIGNED_INT, 0);
  }

  private paintEdges(m: Made): void {
    const gl = m.gl;
    const at = this.use(m, m.edge);
    gl.uniform2f(at("paper"), this.paper.wide, this.paper.high);
    gl.uniform2f(at("widths"), 0.9, 1.4);
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    gl.depthMask(false);
    gl.bindVertexArray(m.edges.vao);
    gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, m.edges.count);
    gl.depthMask(true);
  }
}

/** extentOf is the size of all that is drawn, in m. */
export function extentOf(c: Cells): [number, number, number] {
  return c.lines_m.map((l) => l.at(-1)! - l[0]!) as [number, number, number];
}

/** innerStep is the step of isotherms inside the block, where those of the whole leave it empty; 0: there are none. */
function innerStep(c: Cells, f: Field): number {
  const r = rangeOf(c, f, (p) => p.role === "block");
  if (r === undefined) return 0;
  const range = r.high - r.low;
  if (range < 2 || range > 2 * f.rule.isotherm) return 0; // lines closer than a kelvin would show the grid
  return roundStep(0.999 * (range / 6));
}

/** parsed reads "#rrggbb" as shares. */
export function parsed(colour: string): [number, number, number] {
  const n = parseInt(colour.slice(1, 7), 16);
  return [(n >> 16) / 255, ((n >> 8) & 255) / 255, (n & 255) / 255];
}
