// The chain of resistances from the block to the water of one pass at the cursor: height is temperature, so the steepest link
// is the one that limits.
import { address } from "../sheet/ask";
import { keys } from "../sheet/keys";
import { Picture } from "../sheet/picture";
import { useRoom } from "../sheet/room";
import { run } from "../sheet/state";
import { look, view } from "../sheet/view";

keys({ key: "p", does: "the chain of the next pass", run: () => next(1), when: () => (run.value?.passes.length ?? 0) > 0 });

/** shown is the pass whose chain is looked at: that of the address, or the first. */
function shown(): string {
  const names = run.value?.passes.map((p) => p.name) ?? [];
  const wanted = view.value.also.pass ?? "";
  return names.includes(wanted) ? wanted : (names[0] ?? "");
}

function next(steps: number): void {
  const names = run.value?.passes.map((p) => p.name) ?? [];
  const to = names[(names.indexOf(shown()) + steps + names.length) % names.length];
  if (to !== undefined) look({ also: { ...view.value.also, pass: to } });
}

export function Chain({ time }: { time: number }) {
  const [box, room] = useRoom<HTMLElement>(20, 240);
  const r = run.value;
  if (r === null || !r.drawn || r.passes.length === 0) return null;
  const pass = shown();
  return (
    <figure class="chain" ref={box}>
      {room > 0 && <Picture src={address("run/chain", { name: r.run, pass, time, wide: room, high: 250, answer: r.answer, rows: r.state === "computing" ? r.rows : 0 })} file={`${r.run.replace(/\.ya?ml$/, "")}-pass-${pass}`} />}
      <figcaption>
        pass{" "}
        <select value={pass} aria-label="pass whose chain is shown" onChange={(e) => look({ also: { ...view.value.also, pass: (e.target as HTMLSelectElement).value } })}>
          {r.passes.map((p) => (
            <option key={p.name}>{p.name}</option>
          ))}
        </select>{" "}
        <button onClick={() => next(1)}>next pass</button>
      </figcaption>
    </figure>
  );
}
