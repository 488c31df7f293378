// Letter keys of the sheet. Each room adds those that it listens to; a field that is typed into keeps its letters.

export interface Key {
  key: string;
  /** what it does, for the list of all keys */
  does: string;
  run: () => void;
  /** whether it does anything now; none: always */
  when?: () => boolean;
}

const known: Key[] = [];

export function keys(...more: Key[]): void {
  known.push(...more);
}

export const allKeys = (): readonly Key[] => known;

addEventListener("keydown", (e) => {
  const at = e.target as HTMLElement | null;
  if (e.defaultPrevented || e.ctrlKey || e.metaKey || e.altKey || (at !== null && /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName))) return;
  const k = known.find((k) => k.key === e.key && (k.when === undefined || k.when()));
  if (k === undefined) return;
  k.run();
  e.preventDefault();
});
