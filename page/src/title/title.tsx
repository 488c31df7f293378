// The title block: which bench, which run, how far the answer is, by which program, and what the reader sets for himself.
import { Since } from "../drawn/revised";
import { Reader } from "../reader/reader";
import * as api from "../sheet/bench";
import { keys } from "../sheet/keys";
import { fixed } from "../sheet/numbers";
import { computes, heard } from "../sheet/standing";
import { bench, moved, name, run, tried } from "../sheet/state";
import { look } from "../sheet/view";

keys({ key: "s", does: "stop what is being computed", run: () => void tried(api.stop(name.value)), when: () => moved.value?.state === "computing" });

function standing(m: api.Moved): string {
  switch (m.state) {
    case "computing":
      return computes(m);
    case "done":
      return "settled";
    case "stopped":
      return "stopped; compute it again to settle it";
    case "mistaken":
      return "the files hold mistakes";
    case "failed":
      return "cannot be computed";
  }
}

/** runsOf are those to choose among; a variant of a study is no run of the bench, and stands there while it is looked at. */
const runsOf = (runs: string[], at: string) => (at === "" || runs.includes(at) ? runs : [...runs, at]);

export function TitleBlock() {
  const b = bench.value;
  const m = moved.value;
  const r = run.value;
  return (
    <footer class="title">
      <div>
        <b>Emberbank</b>
        <span class="fine">{b?.name}</span>
      </div>
      <div>
        <small>
          <label for="run">run</label>
        </small>
        <select id="run" value={name.value} onChange={(e) => look({ run: (e.target as HTMLSelectElement).value, time: Infinity })}>
          {runsOf(b?.runs ?? [], name.value).map((f) => (
            <option key={f} value={f}>
              {f.includes("#") && r?.run === f ? r.title : f}
            </option>
          ))}
        </select>
        <span class="fine">{r?.title}</span>
      </div>
      <div>
        <small>this answer</small>
        <span>{m ? standing(m) : ""}</span>
        <span class="heard" role="status">
          {m ? (m.state === "computing" ? heard(m) : standing(m)) : ""}
        </span>
        {m?.state === "computing" && <button onClick={() => void tried(api.stop(m.run))}>stop</button>}
      </div>
      <Since />
      <div>
        <small>made of</small>
        <span>{r && r.cells > 0 ? `${fixed(r.cells, 0)} cells` : ""}</span>
      </div>
      <div>
        <small>program</small>
        <span>{b?.version}</span>
        <a href="/verified" onClick={(e) => (e.preventDefault(), look({ question: "verified" }))}>
          is it right?
        </a>
      </div>
      <Reader />
    </footer>
  );
}
