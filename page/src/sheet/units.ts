// In which units the reader wants numbers. Files and the server keep theirs; only what is shown changes. The choice is kept
// in the browser. Reading it within a view makes the view follow it.
import { signal } from "@preact/signals";

/** how a number in a unit of the files is shown */
export interface Reading {
  /** the unit's name after a number */
  name: string;
  /** the number in it */
  of: (x: number) => number;
  /** digits after the decimal sign */
  digits: number;
}

/** what one may choose among, by the unit that files use; the first is shown unless something else is chosen */
const readings: Record<string, [Reading, ...Reading[]]> = {
  degC: [
    { name: "°C", of: (x) => x, digits: 1 },
    { name: "K", of: (x) => x + 273.15, digits: 1 },
  ],
  W: [
    { name: "W", of: (x) => x, digits: 0 },
    { name: "kW", of: (x) => x / 1e3, digits: 2 },
  ],
  J: [
    { name: "kWh", of: (x) => x / 3.6e6, digits: 2 },
    { name: "MJ", of: (x) => x / 1e6, digits: 2 },
  ],
  "kg/s": [
    { name: "kg/h", of: (x) => x * 3600, digits: 1 },
    { name: "kg/s", of: (x) => x, digits: 6 },
  ],
  m: [
    { name: "mm", of: (x) => x * 1e3, digits: 1 },
    { name: "m", of: (x) => x, digits: 4 },
  ],
  Pa: [
    { name: "bar", of: (x) => x / 1e5, digits: 2 },
    { name: "Pa", of: (x) => x, digits: 0 },
  ],
};

/** units that nobody chooses, written as readers know them */
const written: Record<string, Reading> = {
  "1": { name: "", of: (x) => x, digits: 3 },
  K: { name: "K", of: (x) => x, digits: 1 }, // a difference, which is never in °C
  s: { name: "s", of: (x) => x, digits: 0 },
  "W/m2": { name: "W/m²", of: (x) => x, digits: 0 },
  deg: { name: "°", of: (x) => x, digits: 1 },
};

const kept = "emberbank-units";

function remembered(): Record<string, string> {
  try {
    const raw: unknown = JSON.parse(localStorage.getItem(kept) ?? "{}");
    if (typeof raw !== "object" || raw === null) return {};
    return Object.fromEntries(Object.entries(raw).filter((e): e is [string, string] => typeof e[1] === "string"));
  } catch {
    return {}; // nothing is kept here
  }
}

/** the chosen names, by the unit that files use */
export const chosen = signal<Record<string, string>>(remembered());

/** the units that can be changed, as files name them */
export const changeable: readonly string[] = Object.keys(readings);

/** reading is how a number in a unit of the files is shown now. */
export function reading(unit: string): Reading {
  const choice = readings[unit];
  if (choice === undefined) return written[unit] ?? { name: unit, of: (x) => x, digits: 3 };
  return choice.find((r) => r.name === chosen.value[unit]) ?? choice[0];
}

/** inKelvins tells whether temperatures are shown in K. */
export const inKelvins = (): boolean => reading("degC").of(0) !== 0;

/** following is the name of the unit that the next change brings. */
export function following(unit: string): string {
  const choice = readings[unit] ?? [];
  const i = choice.findIndex((r) => r.name === reading(unit).name);
  return choice[(i + 1) % choice.length]?.name ?? unit;
}

/** change shows a quantity in another of its units, and keeps that for the next time. */
export function change(unit: string): void {
  chosen.value = { ...chosen.value, [unit]: following(unit) };
  try {
    localStorage.setItem(kept, JSON.stringify(chosen.value));
  } catch {
    // it holds until the page is closed
  }
}

/** unitOf writes the unit of a file as print has it, where its numbers stay in it. */
export const unitOf = (u: string): string => (u === "1" ? "" : u.replace("degC", "°C").replace(/([cm]?m)([23])/g, (_, m: string, n: string) => m + (n === "2" ? "²" : "³")).replace(/ /g, "·"));
