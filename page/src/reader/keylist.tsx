// The list of all keys, and the switch for letters.
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { allKeys, keys, letters, tell, turn } from "../sheet/keys";

const open = signal(false);

keys({ key: "?", does: "all keys", run: () => (open.value = true) });
tell({ key: "Esc", does: "close what is open over the sheet" });

const names: Record<string, string> = { ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", Escape: "Esc", " ": "space", "-": "−" };

export function KeyList() {
  const at = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (open.value) at.current?.showModal();
    else at.current?.close();
  }, [open.value]);
  return (
    <>
      <button class="allkeys" onClick={() => (open.value = true)}>
        all keys{letters.value ? " ?" : ""}
      </button>
      <dialog ref={at} class="keylist" aria-labelledby="keylist" onClose={() => (open.value = false)}>
        <h2 id="keylist">All keys</h2>
        <dl>
          {open.value &&
            allKeys().map((k) => (
              <div key={k.does}>
                <dt>
                  {[...new Set(k.keys.map((name) => names[name] ?? name))].map((name) => (
                    <kbd key={name}>{name}</kbd>
                  ))}
                </dt>
                <dd>{k.does}</dd>
              </div>
            ))}
        </dl>
        <label>
          <input type="checkbox" checked={letters.value} onChange={(e) => turn((e.target as HTMLInputElement).checked)} /> letters, digits and signs are keys
        </label>
        <button onClick={() => (open.value = false)}>close</button>
      </dialog>
    </>
  );
}
