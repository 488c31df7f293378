// The edge of the sheet with its zones: questions stand in 1 to 8, rows go by A to D, so that a place can be cited, such as C5.
const across = [1, 2, 3, 4, 5, 6, 7, 8];
const down = ["A", "B", "C", "D"];

export function Frame() {
  return (
    <div class="frame" aria-hidden="true">
      <ol class="across">
        {across.map((n) => (
          <li key={n}>{n}</li>
        ))}
      </ol>
      {["left", "right"].map((side) => (
        <ol key={side} class={`down ${side}`}>
          {down.map((n) => (
            <li key={n}>{n}</li>
          ))}
        </ol>
      ))}
    </div>
  );
}
