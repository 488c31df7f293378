// A question that the sheet answers: each room of one exports its own, and page.tsx lays them side by side.
import type { ComponentType } from "preact";

export interface Question {
  /** its word in the address */
  name: string;
  asks: string;
  /** the answer in a few words, beneath the question */
  says: () => string;
  /** asks once, before the question is looked at, for what its answer is read from: lists and results that are kept, nothing that
   * has to be computed */
  knows?: () => Promise<void>;
  /** the run that it looks at where the address names none: "" while it does not know yet, undefined: the bench's first will do */
  run?: () => string | undefined;
  View: ComponentType;
}
