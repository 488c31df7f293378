// Numbers as the reader writes them: his decimal sign, a thin space for thousands, a true minus;
// in the units that he has chosen.
import { reading } from "./units";

/** the reader's decimal sign; a language that the browser names oddly counts as none */
function decimalSign(): string {
  for (const of of [[...navigator.languages], []]) {
    try {
      return new Intl.NumberFormat(of).formatToParts(1.5).find((p) => p.type === "decimal")?.value ?? ".";
    } catch {
      // the next
    }
  }
  return ".";
}
const decimal = decimalSign();

export function fixed(x: number, digits: number): string {
  if (!Number.isFinite(x)) return "";
  const [whole = "", rest] = Math.abs(x).toFixed(digits).split(".");
  const spaced = whole.replace(/\B(?=(\d{3})+$)/g, "\u2009");
  const minus = x < 0 && Number(x.toFixed(digits)) !== 0 ? "\u2212" : "";
  return minus + spaced + (rest === undefined ? "" : decimal + rest);
}

/** clock writes a time of a run, in s, as hours and minutes. */
export function clock(s: number): string {
  const m = Math.round(s / 60);
  return `${Math.floor(m / 60)}:${String(m % 60).padStart(2, "0")}`;
}

/** ofDay writes the time of day of a moment. */
export const ofDay = (at: Date): string => clock(at.getHours() * 3600 + at.getMinutes() * 60);

/** span writes how long something takes, in s. */
export function span(s: number): string {
  if (s < 90) return `${fixed(s, 0)} s`;
  if (s < 5400) return `${fixed(s / 60, 0)} min`;
  return `${fixed(s / 3600, 1)} h`;
}

/** counted writes how many of something there are. */
export const counted = (n: number, one: string, more: string): string => `${fixed(n, 0)} ${n === 1 ? one : more}`;

const words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/** spelled writes how many there are, up to twelve as a word. */
export const spelled = (n: number): string => words[n] ?? fixed(n, 0);

/** bytes writes how large a file is. */
export const bytes = (n: number): string => (n < 1e5 ? `${fixed(n / 1e3, 1)}\u2009kB` : `${fixed(n / 1e6, 1)}\u2009MB`);

/** ended gives a sentence its full stop. */
export const ended = (s: string): string => (s === "" || /[.!?]$/.test(s) ? s : `${s}.`);

/** share writes a share of one in per cent, with a decimal below 9.5 %. */
export const share = (x: number): string => `${fixed(100 * x, x !== 0 && Math.abs(x) < 0.095 ? 1 : 0)}\u2009%`;

/** stepped moves the number that a text begins with by steps of its last digit: "12.5 mm" by 0.1 mm; a text without one stays. */
export function stepped(text: string, steps: number): string {
  const m = /^(\s*[-\u2212+]?\d+(?:\.(\d+))?)(.*)$/s.exec(text);
  if (m === null) return text;
  const digits = m[2]?.length ?? 0;
  const to = Number(m[1]!.replace("\u2212", "-")) + steps * 10 ** -digits;
  return to.toFixed(digits) + m[3];
}

/** bare writes a value without its unit, for a column whose head names it. */
export function bare(x: number | null | undefined, unit: string): string {
  if (x === null || x === undefined) return "";
  const r = reading(unit);
  return fixed(r.of(x), r.digits);
}

/** shown writes a value in a unit of the files, as the history has it, with the unit that the reader has chosen. */
export function shown(x: number | null | undefined, unit: string): string {
  const number = bare(x, unit);
  const { name } = reading(unit);
  return number === "" || name === "" ? number : name === "°" ? number + name : `${number}\u2009${name}`;
}
