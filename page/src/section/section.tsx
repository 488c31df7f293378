// The receiver cut open at the cursor. The server draws it, so that page and print show the same.
import { address } from "../sheet/ask";
import type { Axis, Run } from "../sheet/bench";
import { keys } from "../sheet/keys";
import { fixed } from "../sheet/numbers";
import { Picture } from "../sheet/picture";
import { run } from "../sheet/state";
import { look, view } from "../sheet/view";

keys(
  { key: "x", does: "cut across the depth", run: () => look({ axis: "depth", at: NaN }) },
  { key: "y", does: "cut across the width", run: () => look({ axis: "width", at: NaN }) },
  { key: "z", does: "cut across the height", run: () => look({ axis: "height", at: NaN }) },
);

/** across is the place of the cut in m: as chosen, or through the block's middle. */
function across(r: Run, axis: Axis): number {
  if (axis === view.value.axis && Number.isFinite(view.value.at)) return view.value.at;
  return r.block_m[["depth", "width", "height"].indexOf(axis)]! / 2;
}

export function Section({ time }: { time: number }) {
  const r = run.value;
  if (r === null) return null;
  const axis = view.value.axis;
  const at = across(r, axis);
  const i = ["depth", "width", "height"].indexOf(axis);
  const low = r.origin_m[i]!;
  const high = low + r.size_m[i]!;
  const src = address("run/section", { name: r.run, axis, at, time, answer: r.answer });
  return (
    <figure class="section">
      <Picture src={src} file={`${r.run.replace(/\.ya?ml$/, "")}-${axis}-${fixed(at * 1e3, 0)}-mm`} />
      <figcaption>
        <fieldset>
          <legend>cut across</legend>
          {(["depth", "width", "height"] as const).map((a) => (
            <label key={a}>
              <input type="radio" name="axis" checked={a === axis} onChange={() => look({ axis: a, at: NaN })} /> {a}
            </label>
          ))}
        </fieldset>
        <label class="at">
          at{" "}
          <input
            type="range"
            min={low}
            max={high}
            step={0.001}
            value={at}
            onInput={(e) => look({ at: Number((e.target as HTMLInputElement).value) })}
            aria-valuetext={`${fixed(at * 1e3, 0)} mm`}
          />{" "}
          <output>{fixed(at * 1e3, 0)} mm</output>
        </label>
      </figcaption>
    </figure>
  );
}
