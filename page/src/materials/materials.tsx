// The materials: the bench's own and the catalogue, each with its curves over temperature, its limits and its sources.
import { edit, placed } from "../sheet/edits";
import { bare, fixed, share, shown } from "../sheet/numbers";
import { SaveFigure } from "../sheet/save";
import { inUnits } from "../sheet/sentence";
import { reading } from "../sheet/units";
import { look, view } from "../sheet/view";
import { matter, type Medium, want } from "./matter";
import { type Level, Plot } from "./plot";
import "./materials.css";

const to = (also: Record<string, string>) => look({ also });

/** whole is a temperature to its degree */
const whole = (degC: number) => fixed(reading("degC").of(degC), 0);

/** melts is where a medium melts, without its unit. */
export function melts(m: Medium): string {
  if (m.solidus_degC === undefined || m.liquidus_degC === undefined) return "";
  return m.liquidus_degC - m.solidus_degC > 0.05 ? `${whole(m.solidus_degC)} to ${whole(m.liquidus_degC)}` : bare(m.solidus_degC, "degC");
}

/** inWords says a material in a sentence. */
export function inWords(m: Medium | undefined): string {
  if (m === undefined) return "";
  const name = m.name.charAt(0).toUpperCase() + m.name.slice(1);
  const parts = [`${fixed(m.density_kg_per_m3, 0)} kg/m³`];
  if (m.solidus_degC !== undefined && m.latent_heat_J_per_kg !== undefined) parts.push(`melts at ${melts(m)}\u2009${reading("degC").name} and takes ${fixed(m.latent_heat_J_per_kg / 1e3, 1)} kJ/kg for it`);
  if (m.service_limit_degC !== undefined) parts.push(`serves to ${shown(m.service_limit_degC, "degC")}`);
  return `${name}: ${parts.join(", ")}.`;
}

/** picked is the material that is looked at. */
export const picked = (): Medium | undefined => {
  const all = matter.value.materials;
  const wanted = view.value.also["material"] ?? placed("receiver.block.medium")?.field.text;
  return all.find((m) => m.name === wanted) ?? all[0];
};

export function Materials() {
  want();
  const all = matter.value.materials;
  const m = picked();
  const kinds = [...new Set(all.map((x) => x.kind))];
  return (
    <div class="plate materials">
      <nav class="stock" aria-label="Materials">
        <table class="rows">
          <thead>
            <tr>
              <th scope="col">name</th>
              <th scope="col">kg/m³</th>
              <th scope="col">melts, {reading("degC").name}</th>
              <th scope="col">serves to, {reading("degC").name}</th>
            </tr>
          </thead>
          {kinds.map((k) => (
            <tbody key={k}>
              <tr>
                <th class="kind" colSpan={4} scope="rowgroup">
                  {k === "own" ? "of the bench" : k === "composite" ? "composites of the bench" : k}
                </th>
              </tr>
              {all
                .filter((x) => x.kind === k)
                .map((x) => (
                  <tr key={x.name} aria-current={x === m ? "true" : undefined}>
                    <th scope="row">
                      <a
                        href={`/drawn?page=materials&material=${encodeURIComponent(x.name)}`}
                        onClick={(e) => {
                          e.preventDefault();
                          to({ page: "materials", material: x.name });
                        }}
                      >
                        {x.name}
                      </a>
                    </th>
                    <td>{fixed(x.density_kg_per_m3, x.density_kg_per_m3 < 10 ? 2 : 0)}</td>
                    <td>{melts(x)}</td>
                    <td>{x.service_limit_degC === undefined ? "" : whole(x.service_limit_degC)}</td>
                  </tr>
                ))}
            </tbody>
          ))}
        </table>
      </nav>
      {m !== undefined && <One m={m} />}
    </div>
  );
}

/** levelsOf are the temperatures that limit a medium. */
export function levelsOf(m: Medium): Level[] {
  const out: Level[] = [];
  const add = (at: number | undefined, says: string) => {
    if (at !== undefined && at <= m.high_degC && at >= m.low_degC) out.push({ at, says: `${says} ${whole(at)}` });
  };
  add(m.service_limit_degC, "serves to");
  add(m.oxidation_onset_degC, "oxidises in air from");
  return out;
}

export const meltsOf = (m: Medium): [number, number] | undefined =>
  m.solidus_degC === undefined || m.liquidus_degC === undefined ? undefined : [m.solidus_degC, Math.max(m.liquidus_degC, m.solidus_degC)];

const direction = (name: string) => / along (\w+)$/.exec(name)?.[1] ?? "";

/** linesOf are the curves of one property before and after melting, by direction. */
export function linesOf(m: Medium, of: string) {
  return m.properties
    .filter((p) => p.name.startsWith(of))
    .map((p) => ({
      label: [direction(p.name), p.name.includes("melted") ? "melt" : m.solidus_degC !== undefined ? "solid" : ""].filter((s) => s !== "").join(", ") || "all directions",
      points: p.points,
      from: p.from_degC,
      to: p.to_degC,
      spread: p.uncertainty,
    }));
}

const percent = (x: number | undefined) => (x === undefined || x === 0 ? "" : `\u2009± ${share(x)}`);

function One({ m }: { m: Medium }) {
  const shared = { low: m.low_degC, high: m.high_degC, height: 330, melts: meltsOf(m), levels: levelsOf(m) };
  const heat = (m.heat_content ?? []).map(([t, h]): [number, number] => [t, h / 1e3]);
  const facts: [string, string][] = [
    ["density", `${fixed(m.density_kg_per_m3, m.density_kg_per_m3 < 10 ? 3 : 0)}\u2009kg/m³${percent(m.density_uncertainty)}`],
    ["melts", m.solidus_degC === undefined ? "not known here" : `${melts(m)}\u2009${reading("degC").name}`],
    ["latent heat", m.latent_heat_J_per_kg === undefined ? "" : `${fixed(m.latent_heat_J_per_kg / 1e3, 1)}\u2009kJ/kg${percent(m.latent_heat_uncertainty)}`],
    ["serves to", m.service_limit_degC === undefined ? "" : `${shown(m.service_limit_degC, "degC")}${m.service_source === undefined ? "" : `, ${m.service_source}`}`],
    ["tubes serve to", m.tube_limit_degC === undefined ? "" : shown(m.tube_limit_degC, "degC")],
    ["oxidises in air", m.oxidation_onset_degC === undefined ? "" : `from ${shown(m.oxidation_onset_degC, "degC")}`],
    ["emissivity", m.emissivity === undefined ? "" : fixed(m.emissivity, 2)],
    ["every curve holds", `${m.holds_from_degC === undefined ? "" : `from ${shown(m.holds_from_degC, "degC")} `}${m.holds_to_degC === undefined ? "" : `to ${shown(m.holds_to_degC, "degC")}`}`],
    ["stands in", m.file === undefined ? "" : `${m.file}, ${m.path ?? ""}`],
  ];
  return (
    <section class="medium" aria-label={m.name}>
      <h2>{m.name}</h2>
      <p class="means">{m.text}</p>
      <div class="plots">
        <Plot {...shared} axis title="heat capacity" unit="J/(kg K)" width={274} lines={linesOf(m, "heat capacity")} />
        <Plot {...shared} title="conductivity" unit="W/(m K)" width={238} lines={linesOf(m, "conductivity")} />
        {heat.length > 0 && <Plot {...shared} title="heat content" unit={inUnits("kJ/kg above 20 °C")} width={238} lines={[{ label: "", points: heat, to: m.holds_to_degC }]} />}
      </div>
      <SaveFigure file={m.name} />
      <p class="means">Height is temperature in all of them. Dashed: kept as it is at the end of its range. Grey band: ± at 95 %.</p>
      {(m.notes ?? []).map((n) => (
        <p key={n} class="beware">
          {inUnits(n)}
        </p>
      ))}
      <dl class="facts">
        {facts
          .filter(([, v]) => v.trim() !== "")
          .map(([k, v]) => (
            <div key={k}>
              <dt>{k}</dt>
              <dd>{v}</dd>
            </div>
          ))}
      </dl>
      <p class="verbs">
        <Use name={m.name} />
        <button onClick={() => to({ page: "composite", matrix: m.name })}>matrix of a composite</button>
        <button onClick={() => to({ page: "composite", filler: m.name })}>filler of a composite</button>
      </p>
      <h3>Sources</h3>
      {(m.from_memory ?? []).length > 0 && <p class="means">From memory, so that every run that uses it warns: {m.from_memory!.join(", ")}.</p>}
      <ul class="sources">
        {m.sources.map((s) => (
          <li key={s}>{s}</li>
        ))}
      </ul>
    </section>
  );
}

/** Use makes a material the block's medium. */
function Use({ name }: { name: string }) {
  const at = placed("receiver.block.medium");
  if (at === undefined) return null;
  const used = at.field.text === name;
  return (
    <button disabled={used} onClick={() => void edit(at.file, at.field.path, name)}>
      {used ? "the block is made of it" : "make the block of it"}
    </button>
  );
}
