// How far the answer of a run is, in words.
import type { Moved } from "./bench";
import { clock, span } from "./numbers";

/** computes says what is being computed, and how far that has got. */
export function computes(m: Moved): string {
  if (m.computes === "nothing") return "reading the files";
  const what = m.computes === "coarse" ? "coarse" : m.coarse && !m.old ? "refining" : "being computed";
  return `${what}, at ${clock(m.reached_s)} of ${clock(m.until_s)}${m.left_s >= 1 ? `, ${span(m.left_s)} left` : ""}`;
}

/** inShort is the same in a few words, which change seldom. */
export function inShort(m: Moved): string {
  if (m.computes === "whole") return m.coarse && !m.old ? "coarse, being refined" : "being computed";
  return "coarse, being computed";
}

/** heard is what a screen reader tells of it: each change once, not each step of the march. */
export function heard(m: Moved): string {
  const of = m.old ? "; the answer shown is of before the change" : "; numbers may still change";
  return m.computes === "whole" && m.coarse && !m.old ? `being refined${of}` : `being computed${of}`;
}

/** unsettled tells whether the numbers of the answer at hand may still move. */
export const unsettled = (m: Pick<Moved, "coarse" | "old">): boolean => m.coarse || m.old;
