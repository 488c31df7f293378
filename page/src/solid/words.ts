// The cut-away in words, for who does not see it.
import { clock, fixed, shown } from "../sheet/numbers";
import { rangeOf, type Cells, type Field, type Water } from "./cells";
import { fromWhere, taken, type Cut, type Turn } from "./cut";
import { looksOf } from "./surface";

export function viewInWords(cut: Cut, turn: Turn, field: Field): string {
  return `The receiver seen from ${fromWhere(turn)}, after ${clock(field.time_s)}. ${taken(cut)}`;
}

export function partsInWords(cells: Cells, field: Field, water: Water | null): string {
  const out: string[] = [];
  const { looks, look } = looksOf(cells.parts);
  looks.forEach((l, i) => {
    const r = rangeOf(cells, field, (p) => look[cells.parts.indexOf(p)] === i);
    if (r === undefined) return;
    const melted = l.melts ? `, ${fixed(100 * r.melted, 0)}\u2009% molten` : "";
    out.push(`${l.role === "block" ? `The block of ${l.name}` : l.name}: ${shown(r.low, "degC")} to ${shown(r.high, "degC")}${melted}.`);
  });
  for (const c of water?.circuits ?? []) {
    const states = [...new Set(c.stretches.map((s) => s.state))].filter((s) => s !== "empty");
    out.push(`Circuit ${c.name} is ${c.state}${states.length > 0 ? `: ${states.join(", then ")}` : ""}.`);
  }
  return out.join(" ");
}
