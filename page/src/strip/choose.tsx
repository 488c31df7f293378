// Which columns are shown: a plain list of all that the run has, narrowed by a word.
import { useEffect, useRef, useState } from "preact/hooks";
import { run } from "../sheet/state";
import { reading } from "../sheet/units";
import { usual } from "./laid";
import { also, wanted } from "./store";

export function Choose({ close }: { close: () => void }) {
  const [word, setWord] = useState("");
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.focus(), []);
  const all = run.value?.columns ?? [];
  const on = wanted.value;
  const found = all.filter((c) => word.toLowerCase().split(/\s+/).every((w) => c.name.toLowerCase().includes(w)));
  const set = (names: string[]) => {
    const kept = all.map((c) => c.name).filter((n) => names.includes(n));
    also({ curves: kept.length === 0 || kept.join() === usual(all).join() ? "" : kept.join(",") });
  };
  return (
    <div
      class="choose"
      role="group"
      aria-label="Which columns are shown"
      onKeyDown={(e) => {
        if (e.key !== "Escape") return;
        e.preventDefault();
        close();
      }}
    >
      <p>
        <label>
          find a word <input ref={field} type="search" value={word} onInput={(e) => setWord((e.target as HTMLInputElement).value)} />
        </label>{" "}
        <button onClick={() => set([...on, ...found.map((c) => c.name)])}>show these {found.length}</button>{" "}
        <button onClick={() => set(on.filter((n) => found.every((c) => c.name !== n)))}>leave these out</button>{" "}
        <button onClick={() => also({ curves: "" })}>as at first</button> <button onClick={close}>close</button>
      </p>
      <ul>
        {found.map((c) => (
          <li key={c.name}>
            <label>
              <input
                type="checkbox"
                checked={on.includes(c.name)}
                onChange={(e) => set((e.target as HTMLInputElement).checked ? [...on, c.name] : on.filter((n) => n !== c.name))}
              />{" "}
              {c.name} <small>{reading(c.unit).name}</small>
            </label>
          </li>
        ))}
      </ul>
      {found.length === 0 && <p>No column has this word in its name.</p>}
    </div>
  );
}
