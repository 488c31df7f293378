// Cautions: a yellow sign with a word at each number that shows a danger, and below the curves what the usual caution there is.
import type { Caution } from "../sheet/bench";
import { keys } from "../sheet/keys";
import { ended } from "../sheet/numbers";
import { inUnits } from "../sheet/sentence";
import { run } from "../sheet/state";
import { moment } from "../sheet/times";
import { look, view } from "../sheet/view";

const all = (): Caution[] => run.value?.cautions ?? [];

const id = (i: number) => `caution-${i + 1}`;

/** tell leads to the words of a caution. */
function tell(i: number): void {
  const at = document.getElementById(id(i));
  at?.scrollIntoView({ block: "center" });
  at?.focus({ preventScroll: true });
}

let last = -1;

keys({
  key: "c",
  does: "the next caution, at the moment when it first arises",
  when: () => view.value.question === "will" && all().length > 0,
  run() {
    last = (last + 1) % all().length;
    look({ time: all()[last]!.at_s });
    tell(last);
  },
});

/** Sign stands at the numbers of columns from the moment on at which one of them shows a danger. */
export function Sign({ columns, time }: { columns: string[]; time: number }) {
  const here = all().flatMap((c, i) => (c.word !== undefined && c.columns.some((n) => columns.includes(n)) && time >= c.at_s - 1e-6 ? [{ word: c.word, i }] : []));
  const first = here[0];
  if (first === undefined) return null;
  const words = [...new Set(here.flatMap((c) => c.word.split(", ")))].join(", ");
  return (
    <a
      class="sign-at"
      href={`#${id(first.i)}`}
      onClick={(e) => {
        e.preventDefault();
        last = first.i;
        tell(first.i);
      }}
    >
      <svg viewBox="0 0 12 11" aria-hidden="true">
        <path d="M6 1L11.2 10H0.8ZM6 4v3M6 8.4v.2" />
      </svg>
      <span class="heard">caution: </span>
      {words}
    </a>
  );
}

export function Cautions() {
  const list = all();
  if (list.length === 0) return null;
  return (
    <section class="cautions" aria-label="Cautions">
      <h2>Before anything is lit or filled</h2>
      <ul>
        {list.map((c, i) => (
          <li key={id(i)} id={id(i)} tabIndex={-1}>
            {inUnits(ended(c.text))} {inUnits(c.likewise ?? "")}{" "}
            {c.at_s > 0 && (
              <button type="button" class="when" onClick={() => look({ time: c.at_s })}>
                show {moment(c.at_s)}
              </button>
            )}
          </li>
        ))}
      </ul>
      <p>Local codes and licensed practice decide. This program is no design code.</p>
    </section>
  );
}
