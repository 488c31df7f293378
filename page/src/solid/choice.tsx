// Section or cut-away: the choice stands beside that of the plane.
import { keys } from "../sheet/keys";
import { cutAway, show } from "./cut";

keys({ key: "v", does: "the section, or the cut-away in its place", run: () => show(!cutAway()) });

export function SolidChoice() {
  return (
    <fieldset>
      <legend>drawn as</legend>
      {(["section", "cut-away"] as const).map((what) => (
        <label key={what}>
          <input type="radio" name="drawn" checked={(what === "cut-away") === cutAway()} onChange={() => show(what === "cut-away")} /> {what}
        </label>
      ))}
    </fieldset>
  );
}
