// Another sensor for a plan: a place is pointed at on the drawing, or typed, and becomes one of the plan file's candidates. The next
// time the plan is computed it says what such a sensor would teach.
import { useEffect, useRef, useState } from "preact/hooks";
import { Section } from "../section/section";
import type * as api from "../sheet/bench";
import { edit } from "../sheet/edits";
import { fields } from "../sheet/fields";
import { Findings } from "../sheet/findings";
import { goOn } from "../sheet/focus";
import { name as runName, tried } from "../sheet/state";
import { look } from "../sheet/view";

const axes: readonly api.Axis[] = ["depth", "width", "height"];
type Place = Record<api.Axis, string>;

/** pointed is the place of the receiver under the pointer, in mm; null: it is not on the drawing. */
function pointed(e: MouseEvent): Place | null {
  const svg = (e.target as Element).closest("svg");
  const rect = svg?.querySelector<SVGRectElement>("rect.place") ?? null;
  const toScreen = svg?.getScreenCTM();
  if (svg === null || rect === null || !toScreen) return null;
  const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(toScreen.inverse());
  const x = p.x - rect.x.baseVal.value;
  const y = rect.y.baseVal.value + rect.height.baseVal.value - p.y;
  if (x < 0 || y < 0 || x > rect.width.baseVal.value || y > rect.height.baseVal.value) return null;
  const { across, up, along, at, u, v, scale } = rect.dataset as Record<string, string>;
  const mm = (m: number) => `${Math.round(m * 1e3)} mm`;
  return {
    ...{ depth: "", width: "", height: "" },
    [along!]: mm(Number(at)),
    [across!]: mm(Number(u) + x / Number(scale)),
    [up!]: mm(Number(v) + y / Number(scale)),
  };
}

/** quoted writes a name so that it is read back as it is. */
const quoted = (s: string) => JSON.stringify(s);

export function PlaceSensor({ plan }: { plan: string }) {
  const [open, setOpen] = useState(false);
  const [at, setAt] = useState<Place>({ depth: "", width: "", height: "" });
  const [called, setCalled] = useState("");
  const [wrong, setWrong] = useState<api.Problem[]>([]);
  const [said, setSaid] = useState("");
  useEffect(() => {
    if (!open) return;
    let gone = false;
    void tried(fields(plan)).then((f) => {
      const of = f?.fields.find((x) => x.path === "run" || x.path === "run[1]")?.text;
      if (!gone && of !== undefined && of !== runName.value) look({ run: of });
    });
    return () => void (gone = true);
  }, [open, plan]);
  const box = useRef<HTMLElement>(null);
  const opener = useRef<HTMLButtonElement>(null);
  const before = useRef(open);
  useEffect(() => {
    if (before.current === open) return;
    before.current = open;
    if (open) goOn(box.current); // the button that was pressed has gone
    else opener.current?.focus();
  }, [open]);
  const write = async () => {
    const file = await tried(fields(plan)); // as it is now: undo, or another program, may have written it since
    if (file === undefined) return;
    const sensor = `{${called.trim() === "" ? "" : `name: ${quoted(called.trim())}, `}${axes.map((a) => `${a}: ${at[a].trim() === "" ? '""' : at[a]}`).join(", ")}}`;
    const given = file.fields.some((f) => f.path === "candidates" && f.given);
    const got = given ? await edit(file, "candidates.sensors[+]", sensor) : await edit(file, "candidates", `{sensors: [${sensor}]}`);
    if (got === undefined) return;
    setWrong(got.problems);
    setSaid(got.written ? `written into ${plan}; plan it again to see what it would teach` : "");
  };
  if (!open) {
    return (
      <p class="verbs">
        <button type="button" ref={opener} onClick={() => setOpen(true)}>
          point at a place for another sensor
        </button>
      </p>
    );
  }
  const take = (e: MouseEvent) => {
    const place = pointed(e);
    if (place === null) return;
    e.preventDefault();
    e.stopPropagation();
    setAt(place);
    setSaid("");
  };
  return (
    <section class="placed" ref={box} aria-label="Another sensor">
      <div class="pair">
        <div onClickCapture={take}>
          <Section time={0} />
        </div>
        <form
          onSubmit={(e) => {
            e.preventDefault();
            void write();
          }}
        >
          <h2>Another sensor</h2>
          <p class="note">A click on the drawing takes the place, in the plane of the cut. Where a plan names places of its own, it proposes no others.</p>
          <p class="fields">
            <label>
              name <input class="pen" value={called} placeholder="its place" onInput={(e) => setCalled((e.target as HTMLInputElement).value)} />
            </label>
            {axes.map((a) => (
              <label key={a}>
                {a} <input class="pen" value={at[a]} size={8} placeholder="40 mm" onInput={(e) => setAt({ ...at, [a]: (e.target as HTMLInputElement).value })} />
              </label>
            ))}
          </p>
          <Findings problems={wrong} />
          <p class="verbs">
            <button type="submit" disabled={axes.some((a) => at[a].trim() === "")}>
              write it into {plan}
            </button>{" "}
            <button type="button" onClick={() => setOpen(false)}>
              leave it
            </button>{" "}
            <span role="status" class="small">
              {said}
            </span>
          </p>
        </form>
      </div>
    </section>
  );
}
