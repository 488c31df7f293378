// What the painter has from WebGL2: programs, buffers, textures, made once for a context; and how numbers are packed for it.
import { edgeFragment, edgeVertex, faceFragment, faceVertex, tubeFragment, tubeVertex } from "./shaders";
import { perRectangle } from "./surface";

export interface Made {
  gl: WebGL2RenderingContext;
  face: WebGLProgram;
  edge: WebGLProgram;
  tube: WebGLProgram;
  faces: { vao: WebGLVertexArrayObject; buffer: WebGLBuffer; count: number };
  edges: { vao: WebGLVertexArrayObject; buffer: WebGLBuffer; count: number };
  pipes: { vao: WebGLVertexArrayObject; buffer: WebGLBuffer; index: WebGLBuffer; count: number };
  field: WebGLTexture;
  finder: WebGLTexture;
  tints: WebGLTexture;
  water: WebGLTexture;
}

/** places along an axis for which it is told in which cell they lie */
export const finderLength = 2048;

/** found tells for places along an axis in which cell they lie, its middle at a whole number; beyond the outer middles it stays.
 * Beside each stands the step to the next. */
export function found(l: number[]): Float32Array {
  const out = new Float32Array(2 * finderLength);
  const n = l.length - 1;
  const centre = (i: number) => 0.5 * (l[i]! + l[i + 1]!);
  for (let s = 0, i = 0; s < finderLength; s++) {
    const x = l[0]! + ((l[n]! - l[0]!) * s) / (finderLength - 1);
    while (i < n - 1 && centre(i + 1) <= x) i++;
    out[2 * s] = x <= centre(0) ? 0 : i >= n - 1 ? n - 1 : i + (x - centre(i)) / (centre(i + 1) - centre(i));
  }
  for (let s = 0; s + 1 < finderLength; s++) out[2 * s + 1] = out[2 * s + 2]! - out[2 * s]!;
  return out;
}

/** corners lays each rectangle as two triangles: place, axis, layer, look. */
export function corners(r: Float32Array): Float32Array {
  const out = new Float32Array((r.length / perRectangle) * 36);
  let k = 0;
  for (let i = 0; i < r.length; i += perRectangle) {
    const a = r[i]!;
    const p = [0, 0, 0];
    p[a] = r[i + 1]!;
    for (const [u, v] of [[2, 3], [4, 3], [4, 5], [2, 3], [4, 5], [2, 5]] as const) {
      p[(a + 1) % 3] = r[i + u]!;
      p[(a + 2) % 3] = r[i + v]!;
      out.set(p, k);
      out[k + 3] = a;
      out[k + 4] = r[i + 6]!;
      out[k + 5] = r[i + 7]!;
      k += 6;
    }
  }
  return out;
}

/** plain has a texture looked up number by number. */
export function plain(gl: WebGL2RenderingContext, target: number): void {
  for (const f of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(target, f, gl.NEAREST);
}

export function bind(gl: WebGL2RenderingContext, unit: number, target: number, t: WebGLTexture, at: WebGLUniformLocation | null): void {
  gl.activeTexture(gl.TEXTURE0 + unit);
  gl.bindTexture(target, t);
  gl.uniform1i(at, unit);
}

function program(gl: WebGL2RenderingContext, vertex: string, fragment: string): WebGLProgram {
  const p = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]] as const) {
    const s = gl.createShader(kind)!;
    gl.shaderSource(s, text);
    gl.compileShader(s);
    gl.attachShader(p, s);
    if (!gl.getShaderParameter(s, gl.COMPILE_STATUS) && !gl.isContextLost()) throw new Error(gl.getShaderInfoLog(s) ?? "the cut-away cannot be painted");
  }
  gl.linkProgram(p);
  if (!gl.getProgramParameter(p, gl.LINK_STATUS) && !gl.isContextLost()) throw new Error(gl.getProgramInfoLog(p) ?? "the cut-away cannot be painted");
  return p;
}

/** laid makes a buffer of floats that are handed out in groups, one vertex or one instance after the other. */
function laid(gl: WebGL2RenderingContext, groups: number[], each: 0 | 1): { vao: WebGLVertexArrayObject; buffer: WebGLBuffer; count: number } {
  const vao = gl.createVertexArray();
  const buffer = gl.createBuffer();
  gl.bindVertexArray(vao);
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  const whole = 4 * groups.reduce((a, b) => a + b, 0);
  let at = 0;
  groups.forEach((n, i) => {
    gl.enableVertexAttribArray(i);
    gl.vertexAttribPointer(i, n, gl.FLOAT, false, whole, at);
    gl.vertexAttribDivisor(i, each);
    at += 4 * n;
  });
  return { vao, buffer, count: 0 };
}

/** make makes all that the pictures need. */
export function make(gl: WebGL2RenderingContext): Made {
  const pipes = laid(gl, [3, 3, 3, 3], 0);
  const index = gl.createBuffer();
  gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, index);
  return {
    gl,
    face: program(gl, faceVertex, faceFragment),
    edge: program(gl, edgeVertex, edgeFragment),
    tube: program(gl, tubeVertex, tubeFragment),
    faces: laid(gl, [3, 3], 0),
    edges: laid(gl, [3, 3, 1], 1),
    pipes: { ...pipes, index },
    field: gl.createTexture(),
    finder: gl.createTexture(),
    tints: gl.createTexture(),
    water: gl.createTexture(),
  };
}
