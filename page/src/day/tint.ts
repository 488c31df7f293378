// The colours of temperature, which the sheet's style holds as 51 steps.

const steps = 50;

/** tint is the colour of a temperature in a range, both in the unit of files. */
export function tint(T: number, [low, top]: readonly [number, number]): string {
  const share = top > low ? (T - low) / (top - low) : 0;
  return `var(--t${Math.round(steps * Math.max(0, Math.min(1, share)))})`;
}
