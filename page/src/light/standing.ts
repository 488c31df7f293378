// How far a cast has got, in words.
import { fixed, share } from "../sheet/numbers";
import type { Cast } from "./cast";

/** perCent writes a small share to one digit that counts. */
const perCent = (x: number): string => (x >= 0.095 ? share(x) : `${fixed(100 * x, Math.max(0, -Math.floor(Math.log10(100 * x))))}\u2009%`);

/** standing says what is being cast and how far that has got. */
export function standing(c: Cast): string {
  switch (c.state) {
    case "computing": {
      if (c.rays === 0) return c.answer === 0 ? "reading the files" : "coarse, refining";
      const far = c.inputs > 0 ? `uncertain input ${c.input} of ${c.inputs}` : `${fixed(c.rays, 0)} rays${c.error > 0 ? `, error ${perCent(c.error)} of the ${perCent(c.wanted)} wanted` : ""}`;
      return `${c.answer > 0 && !c.old && c.coarse ? "coarse, refining" : "coarse"}: ${far}`;
    }
    case "done":
      return "settled";
    case "stopped":
      return c.answer > 0 ? "stopped; the coarse answer stays" : "stopped before the first answer";
    case "mistaken":
      return "the files hold mistakes";
    case "failed":
      return "the rays cannot be cast";
  }
}
