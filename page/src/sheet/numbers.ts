// Numbers as the reader writes them: his decimal sign, a thin space for thousands, a true minus.
const signs = new Intl.NumberFormat().formatToParts(1.5);
const decimal = signs.find((p) => p.type === "decimal")?.value ?? ".";

export function fixed(x: number, digits: number): string {
  if (!Number.isFinite(x)) return "";
  const [whole = "", rest] = Math.abs(x).toFixed(digits).split(".");
  const spaced = whole.replace(/\B(?=(\d{3})+$)/g, "\u2009");
  const minus = x < 0 && Number(x.toFixed(digits)) !== 0 ? "\u2212" : "";
  return minus + spaced + (rest === undefined ? "" : decimal + rest);
}

/** clock writes a time of a run, in s, as hours and minutes. */
export function clock(s: number): string {
  const m = Math.round(s / 60);
  return `${Math.floor(m / 60)}:${String(m % 60).padStart(2, "0")}`;
}

/** span writes how long something takes, in s. */
export function span(s: number): string {
  if (s < 90) return `${fixed(s, 0)} s`;
  if (s < 5400) return `${fixed(s / 60, 0)} min`;
  return `${fixed(s / 3600, 1)} h`;
}

/** shown writes a value of the history with its unit, as a caption does. */
export function shown(x: number | null | undefined, unit: string): string {
  if (x === null || x === undefined) return "";
  switch (unit) {
    case "degC":
      return `${fixed(x, 1)}\u2009°C`;
    case "W":
      return Math.abs(x) >= 1e4 ? `${fixed(x / 1e3, 2)}\u2009kW` : `${fixed(x, 0)}\u2009W`;
    case "J":
      return `${fixed(x / 3.6e6, 2)}\u2009kWh`;
    case "kg/s":
      return `${fixed(x * 3600, 1)}\u2009kg/h`;
    case "Pa":
      return `${fixed(x / 1e5, 2)}\u2009bar`;
    case "1":
      return fixed(x, 3);
    case "m":
      return `${fixed(x * 1e3, 1)}\u2009mm`;
  }
  return `${fixed(x, 3)}\u2009${unit}`;
}
