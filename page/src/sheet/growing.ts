// A history that grows: what is there already is not asked for again.
import type { History } from "./bench";

/** grown puts the rows that came behind those that are there. */
export function grown(have: History, more: History): History {
  const last = have.time_s.at(-1) ?? -Infinity;
  const from = more.time_s.findIndex((t) => t > last);
  if (from < 0) return have;
  return {
    ...more,
    time_s: have.time_s.concat(more.time_s.slice(from)),
    columns: have.columns.map((c, i) => ({ ...c, values: c.values.concat(more.columns[i]?.values.slice(from) ?? []) })),
  };
}

/** continues tells whether a history of an answer may go on behind the rows that are there, which were not too many yet. */
export function continues(have: History | null, answer: number, names: readonly string[] | null, points: number): have is History {
  if (have === null || have.answer !== answer || have.time_s.length === 0 || have.time_s.length > 2 * points) return false;
  return names === null || names.join(",") === have.columns.map((c) => c.name).join(",");
}
