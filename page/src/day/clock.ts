// Times of a run as the clock of its duty shows them, where it says when it begins.
import { clock } from "../sheet/numbers";
import { every, moments } from "../sheet/times";
import type { Day } from "./store";

const dayLong = 86400;

/** hour writes a time of a run, in s: of the day where that is known, else from its start. */
export function hour(d: Pick<Day, "clock_s" | "until_s">, t: number): string {
  if (d.clock_s < 0) return clock(t);
  const of = (Math.round((t + d.clock_s) / 60) * 60) % dayLong;
  return clock(of === 0 && t > 0 && d.until_s <= dayLong ? dayLong : of);
}

/** marks are the times of an axis with what stands there; at a midnight within it the day. */
export function marks(d: Pick<Day, "clock_s" | "until_s">, until: number, count: number): { at: number; text: string }[] {
  const from = Math.max(0, d.clock_s);
  const step = every(0, until, count);
  return moments(from, from + until, step).map((s) => ({ at: s - from, text: step >= dayLong ? `day ${Math.round(s / dayLong) + 1}` : hour(d, s - from) }));
}

/** dateOf writes a day of the calendar a number of days after a first one, given as its beginning with its zone. */
export function dateOf(starts: string, after: number): { day: number; month: string; year: number } {
  const [y, m, d] = starts.slice(0, 10).split("-").map(Number) as [number, number, number];
  const at = new Date(Date.UTC(y, m - 1, d + after));
  return { day: at.getUTCDate(), month: months[at.getUTCMonth()]!, year: at.getUTCFullYear() };
}

const months = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
