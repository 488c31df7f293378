// How the cut-away is coloured: faces by temperature as on the section, hatching by what a part is for, isotherms and edges in ink,
// tubes by the water's state. Widths are in pixels of the paper, whatever its scale.

/** the receiver's coordinates to the paper's */
const placed = `#version 300 es
precision highp float;
uniform vec3 right, up, eye; // directions of the paper
uniform vec3 centre;         // m, what lies in its middle
uniform vec2 half_m;         // m, half its size
uniform float reach;         // m, beyond which nothing stands
vec4 onPaper(vec3 p) {
  p -= centre;
  return vec4(dot(p, right) / half_m.x, dot(p, up) / half_m.y, -dot(p, eye) / reach, 1.0);
}
`;

export const faceVertex = `${placed}
layout(location = 0) in vec3 place;
layout(location = 1) in vec3 told; // axis of the normal, layer of cells, look * 2 + cut
out vec3 p;
flat out ivec3 what;
void main() {
  p = place;
  what = ivec3(told + 0.5);
  gl_Position = onPaper(place);
}`;

export const faceFragment = `#version 300 es
precision highp float;
precision highp sampler3D;
uniform sampler3D field;     // temperature and melted share of each cell
uniform sampler2D finder;    // row a: from a place along axis a to cells, their middles at whole numbers
uniform sampler2D tints;     // the rule of temperature, step by step
uniform ivec4 looks[32];     // role, whether it melts
uniform vec3 low, extent;    // m
uniform vec4 rule;           // °C, °C, K per tint, K per isotherm
uniform float inner;         // K per isotherm inside the block; 0: as everywhere
uniform float perMetre;      // px
uniform float fine;          // pixels of the picture to one of the paper
uniform vec4 ink, sheet;
in vec3 p;
flat in ivec3 what;
out vec4 colour;

const float found = 2047.0;

float cellAt(int a) {
  float x = clamp((p[a] - low[a]) / extent[a], 0.0, 1.0) * found;
  float i = min(floor(x), found - 1.0);
  return mix(texelFetch(finder, ivec2(int(i), a), 0).r, texelFetch(finder, ivec2(int(i) + 1, a), 0).r, x - i);
}

// stroke is how much of a pixel a line of a width covers, x away from its middle, both in pixels of the paper; foot is what one
// pixel of the picture spans there.
float stroke(float x, float width, float foot) {
  return clamp((0.5 * width - abs(x)) / foot + 0.5, 0.0, 1.0) * min(1.0, width / foot);
}

float isotherm(float T, float step, float width) {
  float x = T / step;
  float slope = fwidth(x) * fine;
  float off = abs(fract(x + 0.5) - 0.5) / max(slope, 1e-6);
  return stroke(off, width, 1.0 / fine) * smoothstep(0.0003, 0.003, slope); // an even field has no lines
}

void main() {
  int a = what.x, b = (a + 1) % 3, d = (a + 2) % 3;
  ivec3 here;
  here[a] = what.y;
  float u = cellAt(b), v = cellAt(d);
  int u0 = int(floor(u)), v0 = int(floor(v));
  ivec3 top = textureSize(field, 0) - 1;
  ivec2 next = ivec2(min(u0 + 1, top[b]), min(v0 + 1, top[d]));
  here[b] = u0; here[d] = v0;
  vec2 f00 = texelFetch(field, here, 0).rg;
  here[b] = next.x;
  vec2 f10 = texelFetch(field, here, 0).rg;
  here[d] = next.y;
  vec2 f11 = texelFetch(field, here, 0).rg;
  here[b] = u0;
  vec2 f01 = texelFetch(field, here, 0).rg;
  vec2 f = mix(mix(f00, f10, fract(u)), mix(f01, f11, fract(u)), fract(v));
  float T = f.x;

  int role = looks[what.z >> 1].x;
  bool cut = (what.z & 1) == 1;
  int steps = textureSize(tints, 0).x;
  vec3 c = texelFetch(tints, ivec2(clamp(int(floor((T - rule.x) / rule.z)), 0, steps - 1), 0), 0).rgb;
  float share = (T - rule.x) / (rule.y - rule.x);
  vec3 pen = share > 0.6 ? sheet.rgb : ink.rgb;
  // in the face, in pixels of the paper; h runs level on upright faces
  vec2 q = vec2(p[b], p[d]) * perMetre;
  if (a == 1) q = q.yx;
  vec2 foot2 = max(fwidth(q), vec2(1e-4));
  float foot = max(foot2.x, foot2.y);

  float lines = max(isotherm(T, rule.w, 0.5) * 0.75, isotherm(T, rule.w * 5.0, 1.0));
  float within = inner > 0.0 ? isotherm(T, inner, 0.5) * 0.75 : 0.0;
  if (role == 0) lines = max(lines, within);
  float hatch = 0.0;
  if (cut) {
    if (role == 0) {
      float s = mod((q.x + q.y) * 0.70711, 12.0);
      hatch = max(stroke(s - 3.0, 0.7, foot), stroke(s - 6.0, 0.7, foot)) * 0.32;
    } else if (role == 1) {
      float w = sin(q.x * 0.392699) * 2.2;
      float s = mod(q.y + w, 7.0) - 3.5;
      hatch = stroke(s * 0.8, 0.6, foot) * 0.34;
    } else {
      float s = mod((q.x - q.y) * 0.70711, 7.0);
      hatch = stroke(s - 3.0, 0.6, foot) * 0.4;
    }
    if (looks[what.z >> 1].y > 0 && f.y >= 0.5) {
      float row = mod(q.y, 8.0);
      float at = mod(q.x + (row < 4.0 ? 0.0 : 6.0), 12.0);
      hatch = max(hatch, (stroke(row - 2.0, 0.8, foot) + stroke(row - 6.0, 0.8, foot)) * step(1.0, at) * step(at, 7.0) * 0.75);
    }
  }
  c = mix(c, pen, max(lines, hatch));
  float steep = fwidth(f.y) * fine;
  if (cut && looks[what.z >> 1].y > 0) { // the melting front
    float off = abs(f.y - 0.5) / max(steep, 1e-6);
    float sharp = smoothstep(0.002, 0.01, steep);
    c = mix(c, sheet.rgb, stroke(off, 3.6, 1.0 / fine) * sharp);
    c = mix(c, ink.rgb, stroke(off, 1.4, 1.0 / fine) * sharp);
  }
  if (cut && role == 2) c = ink.rgb; // thin metal
  colour = vec4(c, 1.0);
}`;

export const edgeVertex = `${placed}
layout(location = 0) in vec3 from;
layout(location = 1) in vec3 to;
layout(location = 2) in float weight;
uniform vec2 paper;  // px
uniform vec2 widths; // px, of a visible edge and of a cut's outline
uniform float fine;
out float across;
flat out float width;
void main() {
  vec4 a = onPaper(from), b = onPaper(to);
  vec2 t = (b.xy - a.xy) * paper * 0.5;
  float l = length(t);
  t = l > 1e-4 ? t / l : vec2(1.0, 0.0);
  bool far = (gl_VertexID & 1) == 1;
  float side = gl_VertexID < 2 ? -1.0 : 1.0;
  width = weight > 0.5 ? widths.y : widths.x;
  float wide = 0.5 * width + 1.0 / fine;
  across = side * wide;
  vec2 off = (vec2(-t.y, t.x) * side * wide + t * (far ? 1.0 : -1.0) * 0.5 * width) / (paper * 0.5);
  gl_Position = far ? b : a;
  gl_Position.xy += off;
  gl_Position.z -= 0.002; // before the faces that it bounds
}`;

export const edgeFragment = `#version 300 es
precision highp float;
uniform vec4 ink;
uniform float fine;
in float across;
flat in float width;
out vec4 colour;
void main() {
  colour = ink * clamp((0.5 * width - abs(across)) * fine + 0.5, 0.0, 1.0);
}`;

export const tubeVertex = `${placed}
layout(location = 0) in vec3 place;
layout(location = 1) in vec3 normal;
layout(location = 2) in vec3 direction;
layout(location = 3) in vec3 told; // along its row, which row, from the axis at an end
out vec3 n;
out float s, rim;
out vec3 at;
flat out vec3 d;
flat out int row;
void main() {
  n = normal;
  d = direction;
  s = told.x;
  row = int(told.y + 0.5);
  rim = told.z;
  at = place;
  gl_Position = onPaper(place);
}`;

export const tubeFragment = `#version 300 es
precision highp float;
precision highp usampler2D;
uniform usampler2D water; // its state along each row
uniform vec3 eye;
uniform float perMetre, fine;
uniform float radius; // m
uniform vec4 ink, sheet, wet;
in vec3 n;
in float s, rim;
in vec3 at;
flat in vec3 d;
flat in int row;
out vec4 colour;

// inside is how far within a limit x lies, over a pixel
float inside(float x, float limit, float pixel) { return clamp((limit - x) / pixel + 0.5, 0.0, 1.0); }

void main() {
  float r = radius * perMetre; // px
  float pixel = 1.0 / (r * fine);
  int state = int(texelFetch(water, ivec2(min(int(s * 1024.0), 1023), row), 0).r);
  float c;
  float x = 0.0;
  if (rim >= 0.0) c = rim;
  else if (dot(d, d) > 0.5) {
    vec3 aside = cross(d, eye);
    float l = length(aside);
    x = l > 1e-3 ? dot(normalize(n), aside / l) : 0.0;
    c = abs(x);
  } else {
    float f = dot(normalize(n), eye);
    c = sqrt(max(0.0, 1.0 - f * f));
  }
  float bore = 0.72;
  vec3 full = wet.rgb;
  vec3 fill = state == 0 || state == 5 ? sheet.rgb : full;
  if (dot(d, d) > 0.5 && rim < 0.0) {
    float z = dot(at, d) * perMetre;
    float y = x * r;
    if (state == 2 || state == 3) {
      float every = state == 2 ? 11.0 : 6.0;
      float turn = floor(z / every);
      vec2 off = vec2(mod(z, every) - 0.5 * every, y - (mod(turn, 2.0) - 0.5) * r * 0.62);
      fill = mix(full, sheet.rgb, inside(length(off), 1.5, 1.0 / fine));
    } else if (state == 4) {
      float q = mod(z, 11.0);
      fill = mix(sheet.rgb, full, inside(abs(q - 5.5), 3.2, 1.0 / fine) * inside(abs(y), 1.1, 1.0 / fine));
    }
  }
  vec3 k = mix(sheet.rgb, fill, inside(c, bore, pixel));
  k = mix(ink.rgb, k, inside(c, 1.0 - 1.1 / r, pixel));
  colour = vec4(k, 1.0);
}`;
