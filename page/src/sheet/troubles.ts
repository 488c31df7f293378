// What went wrong, by what was asked for: a success takes away only the trouble that it mends, and what is looked at anew all of
// them. What the reader has done, such as writing, is of one kind: his next success mends it.
import { computed, signal } from "@preact/signals";

/** what the reader has done */
export const doing = "doing";

const troubles = signal<Record<string, string>>({});

/** all that stands, as the sheet tells it */
export const trouble = computed(() => [...new Set(Object.values(troubles.value))].join(" "));

export function failed(of: string, why: unknown): void {
  troubles.value = { ...troubles.peek(), [of]: why instanceof Error ? why.message : String(why) };
}

export function mended(of: string): void {
  const { [of]: gone, ...rest } = troubles.peek();
  if (gone !== undefined) troubles.value = rest;
}

export function forgotten(): void {
  troubles.value = {};
}
