// Numbers in pictures that the server draws, as the reader wants them: temperatures in °C or in K, all with his decimal sign; an axis
// of temperature has round numbers in either. Lengths on a drawing stay in mm, as drawings have them; what stands in a file is shown
// as it stands there.
import { fixed } from "./numbers";
import { digitsOf } from "./scale";
import { inUnits, localised } from "./sentence";
import { inKelvins, reading } from "./units";

/** numbers without a unit that are temperatures in °C; the server marks them */
const bare = ".celsius";
/** the marks of an axis in °C with their numbers; the server says how it lies */
const axes = "g.degrees";

/**
 * inReadersUnits rewrites the texts of a picture. One that results have kept stays in °C where no axis of it says how it lies: it may be
 * of a program that did not mark its temperatures.
 */
export function inReadersUnits(picture: Element, kept = false): void {
  const degrees = reading("degC");
  const all = picture.querySelectorAll(axes);
  const stays = kept && all.length === 0;
  if (inKelvins()) for (const g of all) moved(g);
  for (const t of picture.querySelectorAll("text, title, desc")) {
    const said = t.textContent ?? "";
    if (said === "" || t.childElementCount > 0 || t.closest(".given, [data-moved]") !== null) continue;
    if (stays) {
      if (t.matches(".numbers")) t.textContent = localised(said);
    } else if (said === "°C") t.textContent = degrees.name;
    else if (said.includes("°C")) t.textContent = inUnits(said, "degC").replace("[°C]", `[${degrees.name}]`);
    else if (t.matches(bare)) t.textContent = localised(said, (x, digits) => fixed(degrees.of(x), digits));
    else if (t.matches(".numbers")) t.textContent = localised(said);
  }
}

/** moved shifts the marks of an axis down to the next round numbers of the unit that is shown; those that leave the axis go. */
function moved(g: Element): void {
  const of = (name: string) => Number(g.getAttribute(`data-${name}`));
  const along = g.getAttribute("data-along") ?? "y";
  const { of: shown, name } = reading("degC");
  const step = of("step");
  const less = shown(0) % step; // degrees by which the numbers would miss round ones
  const by = -less * of("kelvin");
  for (const e of [...g.querySelectorAll("line, text")]) {
    const mark = e.localName === "line";
    const at = Number(e.getAttribute(mark ? `${along}1` : along)) - (!mark && along === "y" ? 4 : 0) + by; // numbers stand 4 px below their marks
    if (at < of("from") - 1 || at > of("to") + 1) e.remove();
    else if (!mark) e.textContent = localised(e.textContent ?? "", (x) => fixed(shown(x) - less, digitsOf(step))).replace("°C", name);
  }
  g.setAttribute("transform", along === "y" ? `translate(0 ${by.toFixed(2)})` : `translate(${by.toFixed(2)} 0)`);
  g.setAttribute("data-moved", "");
}
