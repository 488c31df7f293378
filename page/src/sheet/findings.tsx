// What is wrong in the files, in the words of `check`.
import type { Problem } from "./bench";

/** Finding says one, with what is allowed and how to mend it. */
export function Finding({ p }: { p: Problem }) {
  return (
    <>
      <b>{p.message}</b>
      {p.allowed !== undefined && <span class="hint">allowed: {p.allowed}</span>}
      {p.fix !== undefined && <span class="hint">to mend it: {p.fix}</span>}
    </>
  );
}

export function Findings({ problems }: { problems: Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <ol class="findings">
      {problems.map((p, i) => (
        <li key={i} class={p.warning === true ? "doubt" : "mistake"}>
          <span class="place">
            {p.file}
            {p.line !== undefined && `:${p.line}`}
            {p.column !== undefined && p.column > 0 && `:${p.column}`}
          </span>{" "}
          <Finding p={p} />
        </li>
      ))}
    </ol>
  );
}
