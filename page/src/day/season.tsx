// A season: its calendar, the numbers of the day that is chosen, how far the fast model was off on days apart, and what is being
// computed of it.
import { Findings } from "../sheet/findings";
import { far, goesOn, startJob, stopJob } from "../sheet/jobs";
import { ended, fixed, share, shown, span } from "../sheet/numbers";
import { Signs } from "../sheet/outcome";
import { inUnits } from "../sheet/sentence";
import { tried } from "../sheet/state";
import { amount, Calendar, chosenDay, daysOf, labelOf, loaded, type OneDay } from "./calendar";
import { also, chosenSeason, days as known, jobOf, type Season, season, type SeasonDoc } from "./store";

function Standing({ s }: { s: Season }) {
  const j = jobOf(s.name);
  const begin = () => void tried(startJob("run", s.name, true));
  if (goesOn(j)) {
    return (
      <div class="standing">
        <p class="verbs">
          <button onClick={() => void tried(stopJob(s.name))}>stop</button>
          <span role="status">{far(j!)}</span>
        </p>
        <p class="small">Days are computed in full, a fast model is built from them and held to others. Stopped, nothing of it is kept.</p>
      </div>
    );
  }
  const done = s.folder !== undefined;
  return (
    <div class="standing">
      {j?.state === "stopped" && <p role="status">Stopped. A season has no results before its end{done ? "; what stands here is of before" : ""}.</p>}
      {(j?.state === "failed" || j?.state === "mistaken") && (
        <p class="mistake" role="alert">
          {ended(inUnits(j.message ?? ""))}
          {j.fix !== undefined && j.fix !== "" && <span class="hint"> To mend it: {j.fix}.</span>}
        </p>
      )}
      {j !== undefined && <Findings problems={j.problems} />}
      {s.changed.length > 0 && (
        <p role="note" class="stale">
          Changed since: {s.changed.join(", ")}. What stands here is of the files as they were.
        </p>
      )}
      <p class="verbs">
        <button onClick={begin}>{j?.state === "stopped" && !done ? "begin again" : done ? "compute again" : "compute the season"}</button>
        <span class="small">some days by the full model, which takes its time; then all of them by a fast one</span>
      </p>
    </div>
  );
}

/** Books are the numbers of the day that is chosen. */
function Books({ s, d }: { s: Season; d: OneDay }) {
  const kelvin = (name: string) => shown(d.of(name), "degC");
  const heat = (name: string) => shown(d.of(name) ?? 0, "J");
  const molten = d.of("melted most") ?? 0;
  const rows: [string, string][] = [];
  if (loaded(s)) {
    rows.push(["wanted", d.wanted > 0 ? amount(s, d.wanted) : "nothing"]);
    if (d.wanted > 0) rows.push(["met", `${amount(s, d.met)}, ${share(d.met / d.wanted)}`], ["short for", (d.of("short") ?? 0) > 0 ? span(d.of("short")!) : "no time"]);
  }
  rows.push(["light taken in", shown((d.of("absorbed") ?? 0) + (d.of("in glass") ?? 0), "J")]);
  if ((d.of("electric") ?? 0) !== 0) rows.push(["electric heat", heat("electric")]);
  rows.push(["carried off by the water", heat("delivered")], ["lost", heat("lost")], ["stored", heat("stored")]);
  rows.push(["block at its beginning", kelvin("block mean first")], ["block over the day", `${kelvin("block mean lowest")} to ${kelvin("block mean highest")}`]);
  if (molten > 0) rows.push(["molten at the most", share(molten)]);
  const most = [...d.lost].sort((a, b) => b.J - a.J)[0];
  return (
    <table class="daybooks">
      <caption>{labelOf(s, d)}</caption>
      <tbody>
        {rows.map(([name, value]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{value}</td>
          </tr>
        ))}
        {most !== undefined && most.J > 0 && (
          <tr>
            <th scope="row">most of it lost by</th>
            <td>
              {most.path}, {shown(most.J, "J")}
            </td>
          </tr>
        )}
      </tbody>
    </table>
  );
}

/** Apart is how far the fast model was off on days of the full model that it was not built from. */
function Apart({ doc }: { doc: SeasonDoc }) {
  const { allowed, block_mean_known_degC: reach, full_runs, nodes, built_from } = doc.model;
  return (
    <div class="apart">
      <table>
        <caption>How far the fast model was off, on days apart</caption>
        <thead>
          <tr>
            <th scope="col">day</th>
            <th scope="col">heat</th>
            <th scope="col">block’s mean</th>
            <th scope="col" class="words">
              what it held
            </th>
          </tr>
        </thead>
        <tbody>
          {doc.apart.map((a) => (
            <tr key={a.day} class={a.passes ? undefined : "beyond"}>
              <th scope="row">{a.day.replace(/^day /, "")}</th>
              <td>{share(a.heat_off)}</td>
              <td>{fixed(a.block_mean_over_an_hour_off_K, 1)}&#8239;K</td>
              <td class="words">
                {a.passes ? "" : "more than is allowed; "}
                {a.held}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small">
        Allowed: {share(allowed.heat)} of the day’s heat and {fixed(allowed.block_mean_K, 1)}&#8239;K. {fixed(nodes.length, 0)} nodes, built from {fixed(full_runs, 0)} runs of the full model, days{" "}
        {built_from.map((b) => b.replace(/^day /, "")).join(", ")} among them. It knows the block’s mean from {shown(reach[0], "degC")} to {shown(reach[1], "degC")}.
      </p>
    </div>
  );
}

/** Beware is what is to be known with a season: the dangers of the days that were computed in full, and what is in doubt. */
function Beware({ doc }: { doc: SeasonDoc }) {
  return (
    <section class="known" aria-label="To be known with the season">
      <Signs list={(doc.dangers ?? doc.cautions ?? []).map((d) => [d.text, d.likewise].filter((t) => t !== undefined).join(" "))} />
      <p class="small">
        Cautions come from the days that were computed in full alone; that there are none proves nothing. Run a day in full for what can hurt. A season is an estimate for choosing; local codes and licensed
        practice decide.
      </p>
      {doc.notes.map((n) => (
        <p key={n} class="small">
          {inUnits(ended(n))}
        </p>
      ))}
    </section>
  );
}

/** Choice is a row of the bench's seasons, where there are several. */
function Choice() {
  const all = known.value?.seasons ?? [];
  if (all.length < 2) return null;
  return (
    <p class="chosen">
      {all.map((s) => (
        <a
          key={s.name}
          href={`/day?season=${encodeURIComponent(s.name)}`}
          aria-current={s.name === chosenSeason.value ? "true" : undefined}
          onClick={(e) => {
            e.preventDefault();
            also({ season: s.name, date: "" });
          }}
        >
          {s.title}
        </a>
      ))}
    </p>
  );
}

export function SeasonPart() {
  const s = season.value;
  if (chosenSeason.value === "" || s === null) return null;
  const days = daysOf(s);
  const doc = s.doc;
  const going = goesOn(jobOf(s.name));
  return (
    <section class="seasonpart" aria-label="A season">
      <h2>A season: {s.title}</h2>
      <Choice />
      {doc !== undefined && <p class={`seasonsays${going || s.changed.length > 0 ? " unsettled" : ""}${doc.answers ? "" : " mistake"}`}>{inUnits(doc.sentence)}</p>}
      {doc === undefined && !going && <p class="seasonsays">Not computed yet.</p>}
      <Findings problems={s.problems} />
      <div class="plate">
        {(days.length > 0 || doc !== undefined) && (
          <div class="left">
            {days.length > 0 && <Calendar s={s} days={days} />}
            {doc !== undefined && <Apart doc={doc} />}
          </div>
        )}
        <div class="margin">
          {days.length > 0 && <Books s={s} d={days[chosenDay(days)]!} />}
          <Standing s={s} />
          {s.folder !== undefined && s.at !== undefined && (
            <p class="small">
              {s.name}, over {s.run}; results of {new Date(s.at).toLocaleString()} in {s.folder}
            </p>
          )}
        </div>
      </div>
      {doc !== undefined && <Beware doc={doc} />}
    </section>
  );
}
