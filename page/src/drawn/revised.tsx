// The table of revisions: what was changed, from what to what, and what it did to the answer.
import { done, redo, told, undo, undone } from "../sheet/edits";
import { shown } from "../sheet/numbers";
import { Pale } from "../sheet/pale";
import { answeredAt, type MainNumber, revised, type Revision } from "../sheet/revisions";
import { moved } from "../sheet/state";
import { reading } from "../sheet/units";
import { show } from "./part";

/** unitName is how a difference in a unit is named: of two temperatures it is K. */
const unitName = (unit: string) => (unit === "degC" ? "K" : reading(unit).name);

function Effect({ r, of }: { r: Revision; of: MainNumber }) {
  const before = r.before.find((m) => m.name === of.name);
  const after = r.after.find((m) => m.name === of.name);
  if (after === undefined) return <td />;
  if (before === undefined) return <td>{shown(after.value, after.unit)}</td>;
  return (
    <td>
      <Pale value={after.value - before.value} unit={of.unit} moves={after.moves} coarse={r.coarse} signed />
    </td>
  );
}

export const inputName = (input: string) => input.replace(/^(receiver|duty)\./, "").replace(/\./g, " ");

export function Revised() {
  const { revisions, answer } = revised.value;
  const last = revisions.at(-1);
  return (
    <section class="revised" aria-label="Revisions">
      <h2>
        Changed here
        <span class="verbs">
          <button disabled={done.value.length === 0} onClick={() => void undo()} title="key u">
            undo
          </button>
          <button disabled={undone.value.length === 0} onClick={() => void redo()} title="key Shift+u">
            redo
          </button>
          <span role="status">{told.value}</span>
        </span>
      </h2>
      {last === undefined ? (
        <p class="means">Nothing was changed since the bench was opened. A change gets its number and a row here, with what it does to the answer.</p>
      ) : (
        <table class="rows revisions">
          <thead>
            <tr>
              <th scope="col" />
              <th scope="col">what</th>
              <th scope="col">was</th>
              <th scope="col">is</th>
              {answer.map((m) => (
                <th scope="col" key={m.name}>
                  {m.name} [{unitName(m.unit)}]
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {[...revisions].reverse().flatMap((r) =>
              r.changes.slice(0, 6).map((c, i) => (
                <tr key={`${r.number} ${c.input}`}>
                  <td class="triangle">{i === 0 && `△${r.number}`}</td>
                  <th scope="row">
                    <a
                      href={`/drawn?part=${encodeURIComponent(c.input)}`}
                      onClick={(e) => {
                        e.preventDefault();
                        show(c.input);
                      }}
                    >
                      {inputName(c.input)}
                    </a>
                  </th>
                  <td class="old">{c.old || "not stated"}</td>
                  <td class="new">{c.new || "not stated"}</td>
                  {i === 0 && r.after.length > 0 && answer.map((m) => <Effect key={m.name} r={r} of={m} />)}
                  {i === 0 && r.after.length === 0 && (
                    <td class="unsettled" colSpan={Math.max(1, answer.length)}>
                      {moved.value?.state === "computing" ? "being computed" : "not computed"}
                    </td>
                  )}
                </tr>
              )),
            )}
          </tbody>
        </table>
      )}
    </section>
  );
}

/** Since is the last revision in the title block, with its old and new value and what it did. */
export function Since() {
  const { revisions, old } = revised.value;
  const r = revisions.at(-1);
  const c = r?.changes[0];
  const after = r?.after[0];
  const before = r?.before.find((m) => m.name === after?.name);
  const at = answeredAt.value;
  return (
    <div>
      <small>{r === undefined ? "changed" : r.number === 1 ? "changed once" : `changed ${r.number} times, last`}</small>
      {r === undefined || c === undefined ? (
        <span>nothing yet</span>
      ) : (
        <a
          class="since"
          href={`/drawn?part=${encodeURIComponent(c.input)}`}
          onClick={(e) => {
            e.preventDefault();
            show(c.input);
          }}
        >
          <span class="triangle">△{r.number}</span> {inputName(c.input)} {c.old || "not stated"}, now {c.new || "not stated"}
          {r.changes.length > 1 && ` and ${r.changes.length - 1} more`}
        </a>
      )}
      {after !== undefined && before !== undefined && !old && (
        <span class="fine">
          {after.name} {shown(before.value, before.unit)}, now <Pale value={after.value} unit={after.unit} moves={after.moves} coarse={r?.coarse === true} />
          {"\u2009"}
          {reading(after.unit).name}
        </span>
      )}
      {old && at !== null && <span class="fine">the answer shown is of {at}, before that</span>}
    </div>
  );
}
