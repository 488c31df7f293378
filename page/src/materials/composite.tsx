// A composite before it is written: a matrix with a filler that may melt in it, beside the plain matrix.
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { edit, placed, readFields } from "../sheet/edits";
import { Finding } from "../sheet/findings";
import { fixed, shown } from "../sheet/numbers";
import { SaveFigure } from "../sheet/save";
import { inUnits } from "../sheet/sentence";
import { run, tried } from "../sheet/state";
import { reading } from "../sheet/units";
import { look, view } from "../sheet/view";
import { type Composite, compose, matter, type Medium, want } from "./matter";
import { linesOf, melts, meltsOf } from "./materials";
import { Plot } from "./plot";

interface Design {
  name: string;
  matrix: string;
  filler: string;
  fraction: string;
  void: string;
  mixing: string;
  /** kWh that are to be held above 20 °C */
  heat: string;
}

const plain: Design = { name: "", matrix: "aluminium", filler: "tin", fraction: "30 %", void: "3 %", mixing: "maxwell-eucken", heat: "3" };

/** the design stands in the address, so that a link brings it back */
const design = (): Design => Object.fromEntries(Object.entries(plain).map(([k, v]) => [k, view.value.also[k] ?? v])) as unknown as Design;

/** what the last design gives */
const answer = signal<Composite | null>(null);

const nameOf = (d: Design) => d.name.trim() || `${d.filler} in ${d.matrix}`;

const blockVolume = () => run.value?.block_m.reduce((v, x) => v * x, 1) ?? 0;

const key: Record<string, string> = { matrix: "matrix", filler: "filler", fraction: "filler fraction", void: "void fraction", mixing: "mixing", name: "name" };

export function CompositeSheet() {
  want();
  const d = design();
  const got = answer.value;
  const volume = blockVolume();
  const heat = Number(d.heat.replace(",", ".")) * 3.6e6;
  const asked = JSON.stringify([d, volume]);
  useEffect(() => {
    if (volume === 0) return; // nothing is drawn yet
    let old = false;
    const t = setTimeout(() => {
      const q = { name: nameOf(d), matrix: d.matrix, filler: d.filler, fraction: d.fraction, void: d.void, mixing: d.mixing, volume, heat: heat > 0 ? heat : 0 };
      void tried(compose(q)).then((c) => {
        if (old || !c) return;
        const last = answer.peek(); // the last good answer stays where something is wrong
        answer.value = c.mixed === undefined && last !== null ? { ...last, problems: c.problems, text: "" } : c;
      });
    }, 120);
    return () => {
      old = true;
      clearTimeout(t);
    };
  }, [asked]);
  return (
    <div class="plate composite">
      <Sheet d={d} got={got} />
      {got?.mixed !== undefined && got.plain !== undefined && volume > 0 && got.mass_kg[1] > 0 && <Beside d={d} got={got} mixed={got.mixed} matrix={got.plain} volume={volume} heat={heat} />}
    </div>
  );
}

/** compositeInWords is the answer of the sheet. */
export function compositeInWords(): string {
  const d = design();
  const [a, b] = answer.value?.needed_degC ?? [null, null];
  if (a === null || b === null) return `What does ${d.filler} do for ${d.matrix}, in the block's place?`;
  return `To hold ${d.heat}\u2009kWh the block is heated to ${shown(a, "degC")}; of plain ${d.matrix}, to ${shown(b, "degC")}.`;
}

function Sheet({ d, got }: { d: Design; got: Composite | null }) {
  const names = matter.value.materials.filter((m) => m.kind !== "composite").map((m) => m.name);
  const put = (change: Partial<Design>) => look({ also: { ...view.value.also, ...change } as Record<string, string> });
  const row = (of: keyof Design, label: string, means: string, field: preact.ComponentChildren) => {
    const wrong = got?.problems.filter((p) => p.warning !== true && p.field === key[of]) ?? [];
    return (
      <div class="leaf">
        <label class="name" for={`composite-${of}`}>
          {label}
        </label>
        <span class={wrong.length > 0 ? "put wrong" : "put"}>{field}</span>
        <span class="means">{means}</span>
        {wrong.length > 0 && (
          <div class="told" role="alert">
            {wrong.map((p) => (
              <p key={p.message}>
                <Finding p={p} />
              </p>
            ))}
          </div>
        )}
      </div>
    );
  };
  const text = (of: keyof Design, list?: string) => (
    <input id={`composite-${of}`} class="pen" list={list} value={d[of]} placeholder={of === "name" ? nameOf(d) : undefined} spellcheck={false} onInput={(e) => put({ [of]: (e.target as HTMLInputElement).value })} />
  );
  return (
    <section class="design" aria-label="The composite">
      <datalist id="plain-materials">
        {names.map((n) => (
          <option key={n} value={n} />
        ))}
      </datalist>
      {row("name", "name", "As other entries refer to it.", text("name"))}
      {row("matrix", "matrix", "What stays solid.", text("matrix", "plain-materials"))}
      {row("filler", "filler", "What may melt inside.", text("filler", "plain-materials"))}
      {row("fraction", "filler share", "By volume, up to 95 %.", text("fraction"))}
      {row("void", "void share", "Empty space left for expansion, by volume.", text("void"))}
      {row(
        "mixing",
        "mixing",
        "Rule for the conductivity.",
        <select id="composite-mixing" value={d.mixing} onChange={(e) => put({ mixing: (e.target as HTMLSelectElement).value })}>
          {matter.value.rules.map((r) => (
            <option key={r} value={r}>
              {r}
            </option>
          ))}
        </select>,
      )}
      {row("heat", "heat to hold", inUnits("kWh in the block's volume, above 20 °C."), text("heat"))}
      <Write got={got} name={nameOf(d)} />
      {(got?.mixed?.notes ?? []).map((n) => (
        <p key={n} class="beware">
          {inUnits(n)}
        </p>
      ))}
    </section>
  );
}

/** Write puts the composite into the receiver's file, and may make the block of it. */
function Write({ got, name }: { got: Composite | null; name: string }) {
  const [said, setSaid] = useState("");
  const list = placed("receiver.composites");
  const taken = matter.value.materials.some((m) => m.name === name);
  const write = async (use: boolean) => {
    if (list === undefined || got === null || got.text === "") return;
    const done = await edit(list.file, `${list.field.path}[+]`, got.text);
    if (done === undefined || !done.written) return setSaid(done?.problems.map((p) => p.message).join("; ") ?? "");
    setSaid(`written into ${done.name}`);
    if (!use) return;
    await readFields();
    const at = placed("receiver.block.medium");
    if (at === undefined) return;
    const made = await edit(at.file, at.field.path, name);
    setSaid(made?.written === true ? `written into ${done.name}; the block is made of it` : (made?.problems.map((p) => p.message).join("; ") ?? ""));
  };
  const off = got === null || got.text === "" || list === undefined || taken;
  return (
    <>
      <p class="verbs">
        <button disabled={off} onClick={() => void write(false)}>
          write into the bench
        </button>
        <button disabled={off} onClick={() => void write(true)}>
          write and make the block of it
        </button>
      </p>
      <p class="means" role="status">
        {said || (taken ? `the bench has something called ${name}; another name can be written` : `${list?.file.name ?? ""}: ${got?.text ?? ""}`)}
      </p>
    </>
  );
}

function Beside({ d, got, mixed, matrix, volume, heat }: { d: Design; got: Composite; mixed: Medium; matrix: Medium; volume: number; heat: number }) {
  const high = Math.min(mixed.high_degC, Math.max(400, ...got.needed_degC.map((t) => Math.ceil(((t ?? 0) + 80) / 50) * 50)));
  const content = (m: Medium, mass: number) => (m.heat_content ?? []).map(([t, h]): [number, number] => [t, (h * mass) / 3.6e6]);
  const [a, b] = got.needed_degC;
  const at = (t: number | null) => (t === null ? "" : shown(t, "degC"));
  const rows: [string, string, string][] = [
    ["density", `${fixed(mixed.density_kg_per_m3, 0)}\u2009kg/m³`, `${fixed(matrix.density_kg_per_m3, 0)}\u2009kg/m³`],
    ["mass", `${fixed(got.mass_kg[0], 1)}\u2009kg`, `${fixed(got.mass_kg[1], 1)}\u2009kg`],
    [`${fixed(heat / 3.6e6, 2)}\u2009kWh are held at`, at(a), at(b)],
    ["melts", range(mixed), range(matrix)],
    ["latent heat", latent(mixed, volume), latent(matrix, volume)],
    [inUnits("conductivity at 20 °C"), conductivity(mixed), conductivity(matrix)],
    ["serves to", mixed.service_limit_degC === undefined ? "" : shown(mixed.service_limit_degC, "degC"), matrix.service_limit_degC === undefined ? "" : shown(matrix.service_limit_degC, "degC")],
  ];
  const wanted = heat > 0 && a !== null && b !== null ? { value: heat / 3.6e6, says: `${fixed(heat / 3.6e6, 2)} kWh`, reached: [{ at: a, says: at(a) }, { at: b, says: at(b) }] } : undefined;
  const shared = { low: 0, high, height: 380, melts: meltsOf(mixed) };
  const lines = linesOf(mixed, "conductivity").filter((l, i, all) => all.length <= 2 || l.label.includes("depth") || i < 1);
  return (
    <section class="medium" aria-label="Beside the plain solid">
      <div class="plots">
        <Plot
          {...shared}
          axis
          title="heat content of the block"
          unit={inUnits("kWh above 20 °C")}
          width={440}
          wanted={wanted}
          most={Math.max(...[mixed, matrix].flatMap((m, i) => content(m, got.mass_kg[i]!).filter((p) => p[0] <= high).map((p) => p[1]))) * 1.12}
          lines={[
            { label: matrix.name, points: content(matrix, got.mass_kg[1]), kind: "plain", to: matrix.holds_to_degC },
            { label: nameOf(d), points: content(mixed, got.mass_kg[0]), to: mixed.holds_to_degC },
          ]}
        />
        <Plot {...shared} title="conductivity" unit="W/(m K)" width={250} lines={[...linesOf(matrix, "conductivity").slice(0, 1).map((l) => ({ ...l, label: matrix.name, kind: "plain" as const })), ...lines]} />
      </div>
      <SaveFigure file={nameOf(d)} />
      <table class="rows twofold">
        <thead>
          <tr>
            <th scope="col">in the block's {fixed(volume * 1e3, 1)} litres</th>
            <th scope="col">{nameOf(d)}</th>
            <th scope="col">plain {matrix.name}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([what, x, y]) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td>{x}</td>
              <td>{y}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="means">Mass and heat count the block's whole volume, the bores of its passes too. Conductivity is mixed as a run computes it.</p>
    </section>
  );
}

const range = (m: Medium) => (meltsOf(m) === undefined ? "does not melt here" : `${melts(m)}\u2009${reading("degC").name}`);
const latent = (m: Medium, volume: number) => (m.latent_heat_J_per_kg === undefined ? "none" : `${shown(m.latent_heat_J_per_kg * m.density_kg_per_m3 * volume, "J")}, ${fixed(m.latent_heat_J_per_kg / 1e3, 1)}\u2009kJ/kg`);
function conductivity(m: Medium): string {
  const all = m.properties.filter((p) => /^conductivity( along \w+)?$/.test(p.name)).map((p) => p.points.reduce((x, y) => (Math.abs(y[0] - 20) < Math.abs(x[0] - 20) ? y : x))[1]);
  return `${all.map((v) => fixed(v, v < 10 ? 2 : 0)).join(", ")}\u2009W/(m K)`;
}
