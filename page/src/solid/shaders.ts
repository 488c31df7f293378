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
uniform ivec4 looks[32];     // role, whether it melts
uniform vec3 low, extent;    // m
uniform float perMetre;      // px
uniform float fine;          // pixels of the picture to one of the paper
out vec2 found;              // where in the finder, across the face
out vec2 q;                  // px of the paper in the face, the first level where the face is upright
flat out ivec3 base, toU, toV, what;
flat out float foot;         // px of the paper in the face that a pixel of the picture spans
void main() {
  int a = int(told.x + 0.5), look = int(told.z + 0.5);
  int layer = int(told.y + 0.5);
  vec3 share = (place - low) / extent * 2047.0;
  if (a == 0) { base = ivec3(layer, 0, 0); toU = ivec3(0, 1, 0); toV = ivec3(0, 0, 1); found = share.yz; q = place.yz; }
  else if (a == 1) { base = ivec3(0, layer, 0); toU = ivec3(1, 0, 0); toV = ivec3(0, 0, 1); found = share.xz; q = place.xz; }
  else { base = ivec3(0, 0, layer); toU = ivec3(1, 0, 0); toV = ivec3(0, 1, 0); found = share.xy; q = place.xy; }
  q *= perMetre;
  foot = 1.0 / (fine * max(0.15, abs(a == 0 ? eye.x : a == 1 ? eye.y : eye.z)));
  what = ivec3(looks[look >> 1].xy, look & 1);
  gl_Position = onPaper(place);
}`;

export const faceFragment = `#version 300 es
precision highp float;
precision highp sampler3D;
uniform sampler3D field;     // of each cell its temperature, its melted share, and its temperature as the block has it
uniform sampler2D finder;    // row a: from a place along axis a to cells, their middles at whole numbers; and the step to the next
uniform sampler2D tints;     // the rule of temperature, step by step
uniform vec4 rule;           // °C, °C, K per tint, K per isotherm
uniform float inner;         // K per isotherm inside the block; 0: as everywhere
uniform float zero;          // °C, of the numbers that are round at isotherms
uniform float fine;
uniform vec4 ink, sheet;
in vec2 found, q;
flat in ivec3 base, toU, toV, what;
flat in float foot;
out vec4 colour;

// stroke is how much of a pixel a line of a width covers, x away from its middle, both in pixels of the paper; span is what one
// pixel of the picture spans there.
float stroke(float x, float width, float span) {
  return clamp((0.5 * width - abs(x)) / span + 0.5, 0.0, 1.0) * min(1.0, width / span);
}

// isotherm is a line at each whole number of x, which rises by a slope for a pixel of the paper.
float isotherm(float x, float slope, float width) {
  return stroke((abs(fract(x + 0.5) - 0.5)) / slope, width, 1.0 / fine);
}

float hatching(int role) {
  if (role == 0) {
    float s = mod((q.x + q.y) * 0.70711, 12.0);
    return max(stroke(s - 3.0, 0.7, foot), stroke(s - 6.0, 0.7, foot)) * 0.32;
  }
  if (role == 1) return stroke((mod(q.y + sin(q.x * 0.392699) * 2.2, 7.0) - 3.5) * 0.8, 0.6, foot) * 0.34;
  return stroke(mod((q.x - q.y) * 0.70711, 7.0) - 3.0, 0.6, foot) * 0.4;
}

void main() {
  vec2 at = floor(found);
  vec2 u2 = texelFetch(finder, ivec2(int(at.x), toU.x == 1 ? 0 : 1), 0).rg;
  vec2 v2 = texelFetch(finder, ivec2(int(at.y), toV.z == 1 ? 2 : 1), 0).rg;
  float u = u2.x + (found.x - at.x) * u2.y, v = v2.x + (found.y - at.y) * v2.y;
  vec2 f0 = floor(vec2(u, v));
  vec2 part = vec2(u, v) - f0;
  ivec3 here = base + int(f0.x) * toU + int(f0.y) * toV;
  ivec3 top = textureSize(field, 0) - 1;
  vec3 f00 = texelFetch(field, here, 0).rgb, f10 = texelFetch(field, min(here + toU, top), 0).rgb;
  vec3 f01 = texelFetch(field, min(here + toV, top), 0).rgb, f11 = texelFetch(field, min(here + toU + toV, top), 0).rgb;
  vec3 all = mix(mix(f00, f10, part.x), mix(f01, f11, part.x), part.y);
  vec2 f = vec2(what.x == 0 ? all.z : all.x, all.y);
  float T = f.x;
  vec2 slope = fwidth(f) * fine;
  // how the melted share changes across the face, from cell to cell
  vec2 melts = vec2(mix(f10.y - f00.y, f11.y - f01.y, part.y), mix(f01.y - f00.y, f11.y - f10.y, part.x));

  bool cut = what.z == 1;
  int steps = textureSize(tints, 0).x;
  vec3 c = texelFetch(tints, ivec2(clamp(int((T - rule.x) / rule.z), 0, steps - 1), 0), 0).rgb;
  vec3 pen = T - rule.x > 0.6 * (rule.y - rule.x) ? sheet.rgb : ink.rgb;
  float lines = 0.0;
  float k = slope.x / rule.w;
  if (k > 0.0003) { // an even field has no lines
    float clear = smoothstep(0.0003, 0.003, k);
    float x = (T - zero) / rule.w;
    lines = max(isotherm(x, k, 0.5) * 0.75, isotherm(0.2 * x, 0.2 * k, 1.0));
    if (what.x == 0 && inner > 0.0) lines = max(lines, isotherm((T - zero) / inner, slope.x / inner, 0.5) * 0.75);
    lines *= clear;
  }
  if (cut) {
    float hatch = hatching(what.x);
    bool molten = what.y > 0 && f.y >= 0.5;
    if (molten) {
      float row = mod(q.y, 8.0);
      float across = mod(q.x + (row < 4.0 ? 0.0 : 6.0), 12.0);
      hatch = max(hatch, (stroke(row - 2.0, 0.8, foot) + stroke(row - 6.0, 0.8, foot)) * step(1.0, across) * step(across, 7.0) * 0.75);
    }
    lines = max(lines, hatch);
  }
  c = mix(c, pen, lines);
  if (cut && what.y > 0 && slope.y > 0.002) { // the melting front
    float off = abs(f.y - 0.5) / slope.y;
    float sharp = smoothstep(0.002, 0.01, slope.y);
    c = mix(c, sheet.rgb, stroke(off, 3.6, 1.0 / fine) * sharp);
    c = mix(c, ink.rgb, stroke(off, 1.4, 1.0 / fine) * sharp);
    // teeth to the solid, along whichever direction of the face the front follows more
    float to = (0.5 - f.y) / slope.y;
    float tooth = stroke(mod(abs(melts.x) > abs(melts.y) ? q.y : q.x, 7.0) - 3.5, 1.1, foot);
    c = mix(c, ink.rgb, tooth * sharp * step(0.0, to) * (1.0 - smoothstep(4.5, 5.5, to)));
  }
  if (cut && what.x == 2) c = ink.rgb; // thin metal
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
uniform float perMetre, fine;
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
  // a little wider than it is: the fragments find how much of a pixel it covers
  gl_Position = onPaper(told.z < 0.0 ? place + normal * 0.75 / (perMetre * fine) : place);
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
  if (rim < 0.0) c *= 1.0 + 0.75 * pixel; // of the true radius
  vec3 k = mix(sheet.rgb, fill, inside(c, bore, pixel));
  k = mix(ink.rgb, k, inside(c, 1.0 - 1.1 / r, pixel));
  colour = vec4(k, 1.0) * (rim < 0.0 ? inside(c, 1.0, pixel) : 1.0);
}`;
