// The sheet's colours and faces, as the cut-away's canvases need them: they know no style sheet.
import { colour } from "../sheet/theme";
import type { Rule } from "./cells";
import type { Type } from "./names";
import type { Colours } from "./painter";

/** dress reads them; tints are one for each step of the rule. */
export function dress(rule: Rule): { colours: Colours; type: Type } {
  const steps = Math.max(1, Math.round((rule.high - rule.low) / rule.tint));
  const tints = Array.from({ length: steps }, (_, i) => colour(`--t${Math.round((50 * i) / Math.max(1, steps - 1))}`));
  return {
    colours: { ink: colour("--ink"), sheet: full(colour("--sheet")), water: colour("--water"), tints },
    type: { text: colour("--text"), lettering: colour("--lettering"), ink2: colour("--ink2"), line: colour("--line"), em: parseFloat(getComputedStyle(document.documentElement).fontSize) / 10 },
  };
}

/** full writes a colour of three digits with six. */
function full(said: string): string {
  return said.length === 4 ? `#${[...said.slice(1)].map((d) => d + d).join("")}` : said;
}
