// Whether the sheet is dark now: as the reader's system asks, and never on paper. What is painted rather than laid out reads it
// and paints anew when it changes.
import { signal } from "@preact/signals";

const asked = matchMedia("(prefers-color-scheme: dark)");

export const dark = signal(asked.matches);

asked.addEventListener("change", () => (dark.value = asked.matches));

addEventListener("beforeprint", () => {
  document.documentElement.dataset["paper"] = "";
  dark.value = false;
});
addEventListener("afterprint", () => {
  delete document.documentElement.dataset["paper"];
  dark.value = asked.matches;
});

/** colour is what an intent of the sheet is painted with now. */
export function colour(intent: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(intent).trim();
}
