// The questions of the sheet, each with its answer in a few words.
import { fixed } from "./numbers";
import { bench, moved, run } from "./state";
import type { Question } from "./view";

export interface Asked {
  name: Question;
  asks: string;
  says: () => string;
}

const drawn = (): string => {
  const r = run.value;
  if (r === null) return "";
  const wrong = r.problems.filter((p) => p.warning !== true).length;
  if (wrong > 0) return wrong === 1 ? "one mistake" : `${wrong} mistakes`;
  return `${r.block_m.map((x) => fixed(x * 1e3, 0)).join(" × ")} mm, ${r.passes.length} passes`;
};

const will = (): string => {
  switch (moved.value?.state) {
    case "computing":
      return moved.value.coarse ? "coarse, being computed" : "being refined";
    case "done":
      return `${run.value?.cautions.length ?? 0} cautions`;
    case "stopped":
      return "stopped";
    case "mistaken":
      return "the files hold mistakes";
    case "failed":
      return "cannot be computed";
  }
  return bench.value === null ? "" : "not computed";
};

export const questions: Asked[] = [
  { name: "drawn", asks: "What have I drawn?", says: drawn },
  { name: "will", asks: "What will it do?", says: will },
];
