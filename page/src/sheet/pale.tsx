// A number whose digits are pale as far as they may still move.
import { fixed } from "./numbers";
import { reading } from "./units";

/** digits of a coarse answer that hold where nothing is known of how far it moves */
const held = 2;

/** settledTo counts the characters of a number that hold while it may move by so much. */
export function settledTo(text: string, moves: number, coarse: boolean): number {
  if (!coarse) return text.length;
  const whole = /^[^\d]*[\d\u2009]*/.exec(text)?.[0] ?? "";
  let place = 10 ** (whole.replace(/[^\d]/g, "").length - 1);
  let seen = 0;
  for (let i = 0; i < text.length; i++) {
    if (!/\d/.test(text[i]!)) continue;
    if (moves > 0 ? place <= 2 * moves : seen >= held) return i;
    if (seen > 0 || text[i] !== "0") seen++;
    place /= 10;
  }
  return text.length;
}

export function Pale({ value, unit, moves = 0, coarse, signed = false }: { value: number; unit: string; moves?: number | undefined; coarse: boolean; signed?: boolean }) {
  const r = reading(unit);
  const zero = r.of(0);
  const x = signed ? r.of(value) - zero : r.of(value);
  const text = (signed && x > 0 ? "+" : "") + fixed(x, r.digits);
  const i = settledTo(text, Math.abs(r.of(moves) - zero), coarse);
  return (
    <>
      {text.slice(0, i)}
      {i < text.length && (
        <span class="unsettled">
          {text.slice(i)}
          <span class="heard"> may still change</span>
        </span>
      )}
    </>
  );
}
