// Where the heat goes: at the cursor, each stream as wide as its watts, beside it what it has carried so far; or over the whole
// run, as wide as its heat.
import { address } from "../sheet/ask";
import { Picture } from "../sheet/picture";
import { useRoom } from "../sheet/room";
import { rows, run } from "../sheet/state";
import { rowAt } from "../sheet/times";
import { look, view } from "../sheet/view";

/** whole tells whether the whole run is shown. */
const whole = () => view.value.also["heat"] === "whole";

export function Ledger() {
  const [box, room] = useRoom<HTMLElement>(20, 240);
  const r = run.value;
  if (r === null) return null;
  if (!r.drawn) return r.state === "computing" ? <p class="later">Where the heat goes is drawn when the run has come to its end.</p> : null;
  const times = rows.value?.time_s ?? [];
  const time = times[Math.max(0, rowAt(times, view.value.time))] ?? 0;
  const moment = whole() || times.length < 2 ? {} : { time };
  return (
    <figure class="ledger" ref={box}>
      {room > 0 && <Picture src={address("run/ledger", { name: r.run, wide: room, answer: r.answer, ...moment })} file={`${r.run.replace(/\.ya?ml$/, "")}-ledger`} />}
      {times.length > 1 && (
        <figcaption>
          <fieldset>
            <legend>heat</legend>
            {[false, true].map((w) => (
              <label key={String(w)}>
                <input type="radio" name="heat" checked={w === whole()} onChange={() => look({ also: { ...view.value.also, heat: w ? "whole" : "" } })} /> {w ? "over the whole run" : "at the cursor"}
              </label>
            ))}
          </fieldset>
        </figcaption>
      )}
    </figure>
  );
}
