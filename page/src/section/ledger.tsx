// Where the heat went, over the whole run: streams as wide as their heat.
import { address } from "../sheet/ask";
import { Picture } from "../sheet/picture";
import { useRoom } from "../sheet/room";
import { run } from "../sheet/state";

export function Ledger() {
  const [box, room] = useRoom<HTMLElement>(20, 240);
  const r = run.value;
  if (r === null) return null;
  if (!r.drawn) return r.state === "computing" ? <p class="later">Where the heat went is drawn when the run has come to its end.</p> : null;
  return (
    <figure class="ledger" ref={box}>
      {room > 0 && <Picture src={address("run/ledger", { name: r.run, wide: room, answer: r.answer })} file={`${r.run.replace(/\.ya?ml$/, "")}-ledger`} />}
    </figure>
  );
}
