// What stands in a panel beside its curves and names: events, phases, the cursor, and how far the march has got.
import { type Colours, type Frame, type Panel, eventDash } from "./panel";
import type { Pen } from "./pen";
import type { Through } from "./sheet";
import { every, moment, moments } from "../sheet/times";

/** grid draws level lines with their numbers and the lines of the time axis; for the pen that draws all by itself. */
export function grid(pen: Pen, f: Frame, levels: readonly (readonly [number, string])[], t: Through, size: number, c: Colours): void {
  const step = every(t.from, t.to, f.width / 72);
  for (const s of moments(t.from, t.to, step)) pen.line([[f.x(s), f.top], [f.x(s), f.top + f.height]], { colour: c.hair, width: 0.8 });
  for (const [v, text] of levels) {
    pen.line([[f.left, f.y(v)], [f.left + f.width, f.y(v)]], { colour: c.hair, width: 0.8 });
    pen.words(f.left - 6, f.y(v) + 4, text, { size, anchor: "end", colour: c.ink2 });
  }
}

/** throughLines draws what runs through every panel: events and the cursor. */
export function throughLines(pen: Pen, f: Frame, t: Through, c: Colours): void {
  pen.within(f.left - 1, f.top - 8, f.width + 2, f.height + 16, () => {
    for (const e of t.events) {
      if (e.at_s < t.from || e.at_s > t.to) continue;
      pen.line([[f.x(e.at_s), f.top - 8], [f.x(e.at_s), f.top + f.height]], { colour: c.ink, width: 0.7, dash: eventDash });
    }
    if (t.cursor >= t.from && t.cursor <= t.to) pen.line([[f.x(t.cursor), f.top - 8], [f.x(t.cursor), f.top + f.height + 8]], { colour: c.ink, width: 1.2 });
  });
}

/** phasesOver draws the phases of a trial as dimension lines above the first panel. */
export function phasesOver(pen: Pen, f: Frame, t: Through, size: number, c: Colours): void {
  const y = f.top + 3;
  for (const p of t.phases) {
    const [a, b] = [Math.max(f.left, f.x(p.from_s)), Math.min(f.left + f.width, f.x(p.to_s))];
    if (b - a < 4) continue;
    pen.line([[a, y - 4], [a, y + 4]], { colour: c.ink2, width: 0.6 });
    pen.line([[b, y - 4], [b, y + 4]], { colour: c.ink2, width: 0.6 });
    pen.line([[a, y], [b, y]], { colour: c.ink2, width: 0.6 });
    pen.fill([[a, y], [a + 8, y - 1.3], [a + 8, y + 1.3]], c.ink2);
    pen.fill([[b, y], [b - 8, y - 1.3], [b - 8, y + 1.3]], c.ink2);
    if (b - a > 40) pen.words((a + b) / 2, y + 4, p.name, { size, italic: true, anchor: "middle", colour: c.ink, halo: c.sheet });
  }
}

/** progress draws where the march has got to: an arrow along the foot of a panel, and what is known beyond it. */
export function progress(pen: Pen, f: Frame, t: Through, size: number, c: Colours): void {
  if (t.reached === null) return;
  const y = f.top + f.height + 8;
  const x = Math.max(f.left, Math.min(f.left + f.width, f.x(t.reached)));
  pen.line([[f.left, y], [x, y]], { colour: c.ink, width: 1.8 });
  if (t.reached <= t.to) pen.fill([[x + 7, y], [x - 3, y - 4], [x - 3, y + 4]], c.ink);
  const words = `${moment(t.reached)}, ${t.beyond}`;
  const after = x + 12 + words.length * size * 0.55 < f.left + f.width;
  pen.words(after ? x + 12 : x - 10, y - 5, words, { size, anchor: after ? "start" : "end", colour: c.ink2, halo: c.sheet });
}

/** timeAxis writes the moments under the last panel, and the cursor's on a ground of its own. */
export function timeAxis(pen: Pen, f: Frame, t: Through, size: number, c: Colours): void {
  const step = every(t.from, t.to, f.width / 72);
  const y = f.top + f.height + 8 + size;
  const here = t.cursor >= t.from && t.cursor <= t.to ? Math.max(f.left + 14, Math.min(f.left + f.width - 14, f.x(t.cursor))) : NaN;
  for (const s of moments(t.from, t.to, step)) {
    if (!(Math.abs(f.x(s) - here) < 4.2 * size)) pen.words(f.x(s), y, moment(s, step), { size, anchor: "middle", colour: c.ink2 });
  }
  if (!Number.isNaN(here)) pen.words(here, y, moment(t.cursor, step), { size, anchor: "middle", colour: c.sheet, ground: c.ink });
}

/** heading says in a panel of differences what is taken from what. */
export function heading(pen: Pen, f: Frame, p: Panel, size: number, c: Colours): void {
  if (p.apart !== null) pen.words(f.left + 6, f.top + size, p.measured ? "computed less measured" : "this run less the other", { size: size * 1.1, italic: true, colour: c.ink2, halo: c.sheet });
}

/** head marks the cursor above the first panel. */
export function head(pen: Pen, f: Frame, t: Through, c: Colours): void {
  if (t.cursor < t.from || t.cursor > t.to) return;
  const [x, y] = [f.x(t.cursor), f.top - 6];
  pen.fill([[x - 4.5, y - 5], [x + 4.5, y - 5], [x + 4.5, y + 1], [x, y + 6], [x - 4.5, y + 1]], c.ink);
}

/** levels are the numbers at a panel's heights; the unit stands once, at the top. */
export function levels(p: Panel, tick: (v: number, step: number) => string, at: readonly number[]): [number, string][] {
  return at.map((v, i) => [v, (p.apart !== null && v > 1e-9 * p.step ? "+" : "") + tick(v, p.step) + (i === at.length - 1 && p.shown !== "" ? `\u2009${p.shown}` : "")]);
}
