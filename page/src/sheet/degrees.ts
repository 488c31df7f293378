// Numbers in pictures that the server draws, as the reader wants them: temperatures in °C or in K, all with his decimal sign. Lengths
// on a drawing stay in mm, as drawings have them; what stands in a file is shown as it stands there.
import { fixed } from "./numbers";
import { inUnits, localised } from "./sentence";
import { reading } from "./units";

/** numbers without a unit that are temperatures in °C; the server marks them */
const bare = ".celsius";

/** inReadersUnits rewrites the texts of a picture. */
export function inReadersUnits(picture: Element): void {
  const degrees = reading("degC");
  for (const t of picture.querySelectorAll("text, title, desc")) {
    const said = t.textContent ?? "";
    if (said === "" || t.childElementCount > 0 || t.closest(".given") !== null) continue;
    if (said === "°C") t.textContent = degrees.name;
    else if (said.includes("°C")) t.textContent = inUnits(said, "degC");
    else if (t.matches(bare)) t.textContent = localised(said, (x, digits) => fixed(degrees.of(x), digits));
    else if (t.matches(".numbers")) t.textContent = localised(said);
  }
}
