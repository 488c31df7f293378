// The numbers of a light: what it comes to, which windows keep the most, and what is not known exactly.
import { fixed, share } from "../sheet/numbers";
import { plusMinus } from "../sheet/outcome";
import { reading } from "../sheet/units";
import { type Told, unsettled } from "./cast";

/** amount writes a value in SI with its half-width and its unit. */
function amount(value: number, half: number, unit: string): string {
  if (unit === "1") return `${plusMinus(100 * value, half > 0 ? 100 * half : null)}\u2009%`;
  if (unit === "W/m2") return `${plusMinus(value / 1e3, half > 0 ? half / 1e3 : null)}\u2009kW/m²`;
  const r = reading(unit);
  return `${half > 0 ? plusMinus(r.of(value), r.of(half) - r.of(0)) : fixed(r.of(value), r.digits)}\u2009${r.name}`;
}

/** hours writes how long a day lasts. */
export const hours = (s: number): string => `${fixed(s / 3600, s % 3600 === 0 ? 0 : 1)}\u2009h`;

const paleWhen = (of: Told) => (unsettled(of) ? "unsettled" : undefined);

export function Numbers({ of }: { of: Told }) {
  return (
    <table>
      <caption>
        What it comes to <small>± at 95 %</small>
      </caption>
      <tbody>
        {of.numbers.map((n) => (
          <tr key={n.name}>
            <th scope="row">{n.name}</th>
            <td class={paleWhen(of)}>{amount(n.value, n.half_width_95, n.unit)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Bests({ of }: { of: Told }) {
  if (of.best.length === 0) return null;
  const m = reading("m");
  const size = (x: number) => fixed(m.of(x), Math.max(0, m.digits - 1));
  return (
    <table>
      <caption>The window that keeps the most</caption>
      <thead>
        <tr>
          <th scope="col"> </th>
          <th scope="col">best [{m.name}]</th>
          <th scope="col">1 % less</th>
          <th scope="col">keeps</th>
          <th scope="col">this one less</th>
        </tr>
      </thead>
      <tbody>
        {of.best.map((b) => (
          <tr key={b.unit + b.name}>
            <th scope="row">
              {b.name}
              {b.unit === "J" && <small>, over {hours(of.day_s)}</small>}
            </th>
            {b.size_m > 0 ? (
              <>
                <td class={paleWhen(of)}>{b.size_half_width_95_m > 0 ? `${size(b.size_m)}\u2009±\u2009${size(b.size_half_width_95_m)}` : size(b.size_m)}</td>
                <td class={paleWhen(of)}>
                  {size(b.from_m)}–{size(b.to_m)}
                </td>
                <td class={paleWhen(of)}>{amount(b.kept, b.kept_half_width_95, b.unit)}</td>
                <td class={paleWhen(of)}>{b.this_keeps_less === null ? "" : share(b.this_keeps_less)}</td>
              </>
            ) : (
              <td colSpan={4}>none keeps heat</td>
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Uncertain({ of }: { of: Told }) {
  if (of.uncertain.length === 0) return null;
  return (
    <table>
      <caption>
        Uncertain <small>what the power in the window does when it rises by its ±</small>
      </caption>
      <thead>
        <tr>
          <th scope="col"> </th>
          <th scope="col">power</th>
          <th scope="col">of the variance</th>
        </tr>
      </thead>
      <tbody>
        {of.uncertain.map((u) => (
          <tr key={u.input}>
            <th scope="row">{u.input.replace(/^light\./, "").replaceAll(".", " ")}</th>
            <td class={paleWhen(of)}>
              {u.power_W > 0 && "+"}
              {amount(u.power_W, 0, "W")}
            </td>
            <td class={paleWhen(of)}>{share(u.share)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
