// The receiver cut open at the cursor. The server draws it, so that page and print show the same; its blue lengths open where
// they stand.
import { address } from "../sheet/ask";
import type { Axis, Run } from "../sheet/bench";
import { keys } from "../sheet/keys";
import { fixed } from "../sheet/numbers";
import { Picture } from "../sheet/picture";
import { useRoom } from "../sheet/room";
import { run } from "../sheet/state";
import { inKelvins } from "../sheet/units";
import { look, view } from "../sheet/view";
import { SolidChoice } from "../solid/choice";
import { cutAway } from "../solid/cut";
import { InHand, useInHand } from "./inhand";
import "./section.css";

const axes: readonly Axis[] = ["depth", "width", "height"];

keys(
  { key: "x", does: "cut across the depth", run: () => look({ axis: "depth", at: NaN }) },
  { key: "y", does: "cut across the width", run: () => look({ axis: "width", at: NaN }) },
  { key: "z", does: "cut across the height", run: () => look({ axis: "height", at: NaN }) },
  { key: ",", does: "move the cut back", run: () => move(-1), when: () => run.value !== null && !cutAway() },
  { key: ".", does: "move the cut on", run: () => move(1), when: () => run.value !== null && !cutAway() },
  { key: "d", does: "to the lengths on the drawing; Tab for the next, Enter changes it", run: () => document.querySelector<SVGElement>(".section .given")?.focus() },
);

/** reach is how far the receiver goes along an axis, m. */
function reach(r: Run, axis: Axis): [low: number, high: number] {
  const i = axes.indexOf(axis);
  return [r.origin_m[i]!, r.origin_m[i]! + r.size_m[i]!];
}

/** across is the place of the cut in m: as chosen, or through the block's middle. */
function across(r: Run, axis: Axis): number {
  const [low, high] = reach(r, axis);
  if (axis === view.value.axis && Number.isFinite(view.value.at)) return Math.min(Math.max(view.value.at, low), high);
  return r.block_m[axes.indexOf(axis)]! / 2;
}

/** move moves the cut by steps of 5 mm, or of a fiftieth of a large receiver. */
function move(steps: number): void {
  const r = run.value;
  if (r === null) return;
  const [low, high] = reach(r, view.value.axis);
  const step = Math.max(0.005, (high - low) / 50);
  const at = across(r, view.value.axis) + steps * step;
  look({ at: Math.min(Math.max(Math.round(at * 1e4) / 1e4, low), high) });
}

/** Section draws the section at a time in s, on a sheet of which so many px are left to others. */
export function Section({ time, beside = 330 }: { time: number; beside?: number }) {
  const r = run.value;
  const [at, room, box] = useRoom<HTMLElement>(20, 240);
  const { held, take, leave } = useInHand(box);
  if (r === null || r.size_m[0] === 0) return null;
  const axis = view.value.axis;
  const where = across(r, axis);
  const tall = Math.min(Math.max(innerHeight - beside, 400), 700);
  const src = address("run/section", { name: r.run, axis, at: fixed4(where), time: Number.isFinite(time) ? time : 1e9, wide: room, high: tall, answer: r.answer, read: r.read, ...(inKelvins() ? { kelvin: "true" } : {}) });
  return (
    <figure class="section" ref={at} onClick={take} onKeyDown={take}>
      {room > 0 && <Picture src={src} file={`${r.run.replace(/\.ya?ml$/, "")}-${axis}-${fixed(where * 1e3, 0)}-mm`} />}
      {held !== null && <InHand key={held.path} of={held} leave={leave} />}
      <Planes r={r} axis={axis} at={where} />
    </figure>
  );
}

const fixed4 = (x: number) => Number(x.toFixed(4));

/** Planes chooses across which direction the receiver is cut, and where. */
function Planes({ r, axis, at }: { r: Run; axis: Axis; at: number }) {
  const [low, high] = reach(r, axis);
  return (
    <figcaption>
      <SolidChoice />
      <fieldset>
        <legend>cut across</legend>
        {axes.map((a) => (
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
      <small>lengths in mm</small>
    </figcaption>
  );
}
