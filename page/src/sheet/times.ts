// Time along a run or a trial: the steps of its axis, how a moment is written, and which row stands there.
import { clock } from "./numbers";

const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800, 432000, 864000, 2592000];

/** every is a step in s of about so many marks over a stretch. */
export function every(from: number, to: number, marks: number): number {
  return steps.find((s) => (to - from) / s <= marks) ?? 2592000 * Math.ceil((to - from) / 2592000 / marks);
}

export function moments(from: number, to: number, step: number): number[] {
  const out = [];
  for (let i = Math.ceil(from / step - 1e-9); i * step <= to * (1 + 1e-12); i++) out.push(i * step);
  return out;
}

/** moment writes a time of a run, with its seconds where the axis tells them. */
export function moment(s: number, step = 60): string {
  if (step >= 60) return clock(s);
  const whole = Math.round(s);
  const m = Math.floor(whole / 60);
  return `${Math.floor(m / 60)}:${String(m % 60).padStart(2, "0")}:${String(whole % 60).padStart(2, "0")}`;
}

/** rowAt is the last row at or before a time; -1: there is none. */
export function rowAt(time: readonly number[], t: number): number {
  let low = 0;
  let high = time.length - 1;
  if (high < 0 || time[0]! > t + 1e-6) return -1;
  while (low < high) {
    const mid = Math.ceil((low + high) / 2);
    if (time[mid]! <= t + 1e-6) low = mid;
    else high = mid - 1;
  }
  return low;
}
