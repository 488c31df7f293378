// What will it do? The sentence, the section at the cursor, where the heat goes, cautions, and the curves over time.
import { Chain } from "../section/chain";
import { Ledger } from "../section/ledger";
import { Section } from "../section/section";
import { Sensors } from "../section/sensors";
import * as api from "../sheet/bench";
import { Findings } from "../sheet/findings";
import { counted } from "../sheet/numbers";
import type { Question } from "../sheet/question";
import { answeredAt } from "../sheet/revisions";
import { inShort, unsettled } from "../sheet/standing";
import { bench, moved, name, rows, run, tried } from "../sheet/state";
import { inUnits } from "../sheet/sentence";
import { rowAt } from "../sheet/times";
import { view } from "../sheet/view";
import { cutAway } from "../solid/cut";
import { Solid } from "../solid/solid";
import { Strip } from "../strip/strip";
import { Cautions } from "./cautions";
import { Now } from "./now";

export const will: Question = {
  name: "will",
  asks: "What will it do?",
  says() {
    switch (moved.value?.state) {
      case "computing":
        return inShort(moved.value);
      case "done":
        return counted(run.value?.cautions.length ?? 0, "caution", "cautions");
      case "stopped":
        return "stopped";
      case "mistaken":
        return "the files hold mistakes";
      case "failed":
        return "cannot be computed";
    }
    return bench.value === null || name.value !== "" ? "" : "not computed";
  },
  View: Will,
};

/** Before says that the answer on the sheet is that of the files before they held the mistakes that they hold now. */
function Before({ problems }: { problems: api.Problem[] }) {
  const at = answeredAt.value;
  return (
    <section aria-label="Mistakes in the files">
      <p class="before">
        The files hold mistakes. The answer shown is {at === null ? "" : `of ${at}, `}before them.
      </p>
      <Findings problems={problems} />
    </section>
  );
}

function Will() {
  const r = run.value;
  const h = rows.value;
  if (r === null) return <p class="sentence">Reading {name.value}.</p>;
  if (r.state === "mistaken" && !r.drawn) {
    return (
      <>
        <p class="sentence">The files hold mistakes, so nothing is computed.</p>
        <Findings problems={r.problems} />
      </>
    );
  }
  const row = h === null ? 0 : Math.max(0, rowAt(h.time_s, view.value.time));
  return (
    <>
      <p class={unsettled(r) ? "sentence unsettled" : "sentence"}>{inUnits(r.failure ?? r.sentence)}</p>
      {r.state === "mistaken" && <Before problems={r.problems} />}
      <div class="plate">
        <div class="cutopen">
          {cutAway() ? <Solid time={h?.time_s[row] ?? 0} /> : <Section time={h?.time_s[row] ?? 0} />}
          <Chain time={h?.time_s[row] ?? 0} />
        </div>
        <div class="beside">
          {h && <Now h={h} row={row} />}
          {h && <Sensors h={h} row={row} />}
          <Ledger />
        </div>
      </div>
      {h && <Strip />}
      <Cautions />
      <p class="verbs">
        {moved.value?.state === "computing" ? (
          <button onClick={() => void tried(api.stop(r.run))}>stop</button>
        ) : (
          <button onClick={() => void tried(api.again(r.run))}>compute again</button>
        )}
      </p>
    </>
  );
}
