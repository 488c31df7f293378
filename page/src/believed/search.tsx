// How far a match has got: half the sum of squares over the runs that it took, a dot for each time that it was told.
import { fixed } from "../sheet/numbers";
import { SaveFigure } from "../sheet/save";

const wide = 620;
const tall = 130;
const left = 60;
const foot = 22;

interface Told {
  runs: number;
  cost: number;
}

/** told reads what a step says of runs and sum of squares; undefined: it says neither */
function told(step: string): Told | undefined {
  const m = /(\d+) runs, half the sum of squares ([\d.eE+-]+)/.exec(step);
  if (m === null) return undefined;
  const [runs, cost] = [Number(m[1]), Number(m[2])];
  return Number.isFinite(cost) && cost > 0 ? { runs, cost } : undefined;
}

export function Search({ steps }: { steps: string[] }) {
  const all = steps.map(told).filter((t): t is Told => t !== undefined);
  if (all.length < 2) return null;
  const low = Math.floor(Math.log10(Math.min(...all.map((t) => t.cost))));
  const high = Math.max(low + 1, Math.ceil(Math.log10(Math.max(...all.map((t) => t.cost)))));
  const runs = Math.max(...all.map((t) => t.runs));
  const x = (n: number) => left + ((wide - left - 10) * n) / Math.max(runs, 1);
  const y = (c: number) => 10 + ((tall - foot - 10) * (high - Math.log10(c))) / (high - low);
  const last = all.at(-1)!;
  return (
    <figure>
      <svg width={wide} height={tall} viewBox={`0 0 ${wide} ${tall}`} role="img" aria-label={`Half the sum of squares is ${last.cost} after ${last.runs} runs`}>
        {Array.from({ length: high - low + 1 }, (_, i) => low + i).map((e) => (
          <g key={e}>
            <path class="hair" d={`M${left} ${y(10 ** e)}H${wide}`} />
            <text class="number" x={left - 6} y={y(10 ** e) + 4} text-anchor="end">
              {e >= 0 && e < 5 ? fixed(10 ** e, 0) : `10^${e}`}
            </text>
          </g>
        ))}
        <path class="dots" d={all.map((t) => `M${x(t.runs) - 2} ${y(t.cost)}a2 2 0 1 0 4 0a2 2 0 1 0 -4 0Z`).join("")} />
        <text class="number" x={left} y={tall - 6}>
          0
        </text>
        <text class="number" x={wide - 4} y={tall - 6} text-anchor="end">
          {fixed(runs, 0)} runs
        </text>
      </svg>
      <SaveFigure file="search" />
      <figcaption>
        <small>half the sum of squares of what the fit leaves, over the runs that it took</small>
      </figcaption>
    </figure>
  );
}
