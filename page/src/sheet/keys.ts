// Keys of the sheet. Each room adds those that it listens to; a field that is typed into keeps its letters. Letters, digits and
// signs can be turned off, for who speaks to the computer or rests a hand on the keys; that is kept in the browser.
import { signal } from "@preact/signals";

export interface Key {
  key: string;
  /** what it does, for the list of all keys */
  does: string;
  run: () => void;
  /** whether it does anything now; none: always */
  when?: () => boolean;
}

/** a key that a part of the sheet listens to by itself while it has the focus */
export type Told = Pick<Key, "key" | "does">;

const known: Key[] = [];
const told: Told[] = [];

export function keys(...more: Key[]): void {
  known.push(...more);
}

/** tell puts keys into the list of all keys to which a part listens by itself. */
export function tell(...more: Told[]): void {
  told.push(...more);
}

/** all keys with what they do; several of one doing stand together, in the order in which they were added */
export function allKeys(): { keys: string[]; does: string }[] {
  const out: { keys: string[]; does: string }[] = [];
  for (const k of [...known, ...told]) {
    const same = out.find((o) => o.does === k.does);
    if (same === undefined) out.push({ keys: [k.key], does: k.does });
    else if (!same.keys.includes(k.key)) same.keys.push(k.key);
  }
  return out;
}

const kept = "emberbank-letters";

function remembered(): boolean {
  try {
    return localStorage.getItem(kept) !== "off";
  } catch {
    return true;
  }
}

/** whether letters, digits and signs do anything */
export const letters = signal<boolean>(remembered());

export function turn(on: boolean): void {
  letters.value = on;
  try {
    localStorage.setItem(kept, on ? "on" : "off");
  } catch {
    // it holds until the page is closed
  }
}

/** typed tells whether a key belongs to what has the focus: a field takes all, a slider or a choice its arrows. */
function typed(at: EventTarget | null, key: string): boolean {
  if (!(at instanceof HTMLElement)) return false;
  if (at.isContentEditable || /^(TEXTAREA|SELECT)$/.test(at.tagName)) return true;
  if (!(at instanceof HTMLInputElement)) return false;
  return key.length > 1 || !/^(radio|checkbox|range|button|submit|file|color)$/.test(at.type);
}

addEventListener("keydown", (e) => {
  if (e.defaultPrevented || e.ctrlKey || e.metaKey || e.altKey || typed(e.target, e.key)) return;
  if (e.key.length === 1 && !letters.value) return;
  if (document.querySelector("dialog[open]") !== null) return;
  const mine = known.filter((k) => k.key === e.key && (k.when === undefined || k.when()));
  const k = mine.find((k) => k.when !== undefined) ?? mine[0]; // what counts only now goes first
  if (k === undefined) return;
  k.run();
  e.preventDefault();
});
