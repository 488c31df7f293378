// Round numbers for axes, and places beside them that do not meet.

/** roundStep is the least of 1, 2 or 5 times a power of ten that does not fall short. */
export function roundStep(least: number): number {
  const ten = 10 ** Math.floor(Math.log10(least));
  return ([1, 2, 5].find((k) => k * ten >= least * (1 - 1e-9)) ?? 10) * ten;
}

/** ticks are round numbers from low to high, in about so many parts at the most. */
export function ticks(low: number, high: number, parts: number): number[] {
  const rough = (high - low) / Math.max(1, parts);
  if (!(rough > 0)) return [low];
  const step = roundStep(rough);
  const out: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k++) out.push(Number((k * step).toPrecision(12)));
  return out;
}

/** digitsOf counts the digits after the decimal sign by which numbers differ that are a step apart. */
export const digitsOf = (step: number): number => Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));

/** stepOf is the step of ticks. */
export const stepOf = (all: readonly number[]): number => (all.length < 2 ? 1 : all[1]! - all[0]!);

/** parted moves rising heights apart by a gap, within low and high where there is room. */
export function parted(wishes: readonly number[], gap: number, low: number, high: number): number[] {
  const at = [...wishes];
  for (let i = 0; i < at.length; i++) at[i] = Math.max(at[i]!, i === 0 ? low : at[i - 1]! + gap);
  for (let i = at.length - 1; i >= 0; i--) at[i] = Math.min(at[i]!, i === at.length - 1 ? high : at[i + 1]! - gap);
  return at;
}

/** apart does so with heights in any order. */
export function apart(heights: readonly number[], gap: number, low: number, high: number): number[] {
  const order = heights.map((_, i) => i).sort((a, b) => heights[a]! - heights[b]!);
  const at = parted(order.map((i) => heights[i]!), gap, low, high);
  const out = [...heights];
  order.forEach((i, k) => (out[i] = at[k]!));
  return out;
}
