// Sentences that the server writes, with their numbers as the reader wants them: in the units that he has chosen and with his
// decimal sign. The server sets every number in one way (room figure: a point, a thin space between thousands, a true minus, a
// narrow or an unbroken space before the unit); what is not set so stays as it is.
import { fixed } from "./numbers";
import { reading } from "./units";

/** the units in which sentences name what can be chosen: the unit of the files, and how many of it one is */
const units: Record<string, { of: string; size: number }> = {
  "°C": { of: "degC", size: 1 },
  W: { of: "W", size: 1 },
  kW: { of: "W", size: 1e3 },
  J: { of: "J", size: 1 },
  kJ: { of: "J", size: 1e3 },
  MJ: { of: "J", size: 1e6 },
  Wh: { of: "J", size: 3600 },
  kWh: { of: "J", size: 3.6e6 },
  "kg/h": { of: "kg/s", size: 1 / 3600 },
  "g/s": { of: "kg/s", size: 1e-3 },
  "kg/s": { of: "kg/s", size: 1 },
  mm: { of: "m", size: 1e-3 },
  m: { of: "m", size: 1 },
  bar: { of: "Pa", size: 1e5 },
  Pa: { of: "Pa", size: 1 },
};

const number = "[-\\u2212]?\\d+(?:\\u2009\\d{3})*(?:\\.\\d+)?";
const space = "[\\u2009\\u00a0\\u202f ]";
/** one number, or two that share a unit: with ±, or a range; one with a power of ten stays whole */
const told = new RegExp(`(?<![\\w.]|e[-+])(${number})(?:(${space}±${space}|${space}to${space}|${space}and${space}|–)(${number}))?(${space})(°C|kWh|Wh|kW|W|MJ|kJ|J|kg/h|kg/s|g/s|mm|m|bar|Pa)(?![\\w/²³·%(°])`, "g");

const value = (text: string) => Number(text.replaceAll("\u2009", "").replace("\u2212", "-"));
const decimals = (text: string) => text.split(".")[1]?.length ?? 0;

/** inUnits writes a sentence's numbers as the reader wants them; half-widths and numbers without a unit of these keep theirs. With
 * only, a unit of the files, all others stay. */
export function inUnits(sentence: string, only = ""): string {
  return sentence.replace(told, (all: string, first: string, between: string | undefined, second: string | undefined, gap: string, unit: string) => {
    const { of, size } = units[unit]!;
    if (only !== "" && of !== only) return localised(all);
    const r = reading(of);
    const zero = r.of(0);
    const factor = (r.of(1) - zero) * size;
    if (r.name === unit || (factor !== 1 && r.name === "W" && unit === "kW") || (r.name === "kWh" && /^(Wh|k?J)$/.test(unit))) return localised(all);
    const write = (text: string, apart: boolean) => fixed((apart ? 0 : zero) + value(text) * factor, Math.max(0, decimals(text) - Math.trunc(Math.log10(factor) + 1e-9 * Math.sign(factor - 1))));
    const half = between?.includes("±") === true;
    return write(first, false) + (second === undefined ? "" : between! + write(second, half)) + gap + r.name;
  });
}

/** inUnitsBut does so but for names in the sentence, which may hold numbers: they are called so wherever they stand. */
export function inUnitsBut(sentence: string, names: readonly string[]): string {
  const numbered = names.filter((n) => /\d/.test(n)).map((n) => n.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  if (numbered.length === 0) return inUnits(sentence);
  return sentence
    .split(new RegExp(`(${numbered.sort((a, b) => b.length - a.length).join("|")})`)) // of two names that begin alike the longer one
    .map((part, i) => (i % 2 === 1 ? part : inUnits(part)))
    .join("");
}

/** localised writes the numbers of a text anew, with the reader's decimal sign. */
export function localised(text: string, as: (x: number, digits: number) => string = fixed): string {
  return text.replace(new RegExp(number, "g"), (n) => as(value(n), decimals(n)));
}
