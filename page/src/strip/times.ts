// The time axis: its steps and how a moment is written.
import { clock } from "../sheet/numbers";

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
