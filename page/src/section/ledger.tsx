// Where the heat went, over the whole run: streams as wide as their heat.
import { useRef } from "preact/hooks";
import { address } from "../sheet/ask";
import { Picture } from "../sheet/picture";
import { run } from "../sheet/state";
import { useRoom } from "./room";

export function Ledger() {
  const box = useRef<HTMLElement>(null);
  const room = useRoom(box);
  const r = run.value;
  if (r === null || !r.drawn) return null;
  return (
    <figure class="ledger" ref={box}>
      {room > 0 && <Picture src={address("run/ledger", { name: r.run, wide: room, answer: r.answer })} file={`${r.run.replace(/\.ya?ml$/, "")}-ledger`} />}
    </figure>
  );
}
