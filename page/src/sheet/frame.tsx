// The edge of the sheet with its zones: each question stands in one, rows go by A to D, so that a place can be cited, such as C5.
const down = ["A", "B", "C", "D"];

export function Frame({ across }: { across: number }) {
  return (
    <div class="frame" aria-hidden="true">
      <ol class="across">
        {Array.from({ length: across }, (_, i) => (
          <li key={i}>{i + 1}</li>
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
