// What the reader sets for himself: units, and whether letters are keys. It stands in the title block.
import { changeable, change, following, reading } from "../sheet/units";
import { KeyList } from "./keylist";
import "./reader.css";

const quantities: Record<string, string> = { degC: "temperatures", W: "heat flows", J: "heat", "kg/s": "mass flows", m: "lengths", Pa: "pressures" };

export function Reader() {
  return (
    <div class="reader">
      <small id="units">units, keys</small>
      <span role="group" aria-labelledby="units">
        {changeable.map((u) => (
          <button key={u} aria-label={`${reading(u).name}: show ${quantities[u] ?? u} in ${following(u)}`} onClick={() => change(u)}>
            {reading(u).name}
          </button>
        ))}
      </span>
      <KeyList />
    </div>
  );
}
