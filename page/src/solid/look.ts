// The sheet's colours and faces, as the cut-away's canvases need them: they know no style sheet.
import type { Rule } from "./cells";
import type { Type } from "./names";
import type { Colours } from "./painter";

/** dress reads them; tints are one for each step of the rule. */
export function dress(rule: Rule): { colours: Colours; type: Type } {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string) => style.getPropertyValue(name).trim();
  const steps = Math.max(1, Math.round((rule.high - rule.low) / rule.tint));
  const tints = Array.from({ length: steps }, (_, i) => of(`--t${Math.round((50 * i) / Math.max(1, steps - 1))}`));
  return {
    colours: { ink: of("--ink"), sheet: full(of("--sheet")), water: of("--water"), tints },
    type: { text: of("--text"), lettering: of("--lettering"), ink2: of("--ink2"), line: of("--line") },
  };
}

/** full writes a colour of three digits with six. */
function full(colour: string): string {
  return colour.length === 4 ? `#${[...colour.slice(1)].map((d) => d + d).join("")}` : colour;
}
