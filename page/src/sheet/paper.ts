// Figures that stand in the page as a picture of its own: what style sheets give them is written into it, in ink on white. Several
// that stand side by side are one picture, as they stand.

const written = ["fill", "stroke", "stroke-width", "stroke-dasharray", "font-family", "font-size", "font-style", "font-weight", "text-anchor", "paint-order", "opacity"];

const made = (name: string, with_: Record<string, string>): SVGElement => {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name) as SVGElement;
  for (const [k, v] of Object.entries(with_)) e.setAttribute(k, v);
  return e;
};

/** asFile is the text of figures as a picture that is complete by itself. What only a reader of the page needs, marked as data-cursor,
 * is left out. */
export function asFile(...figures: SVGSVGElement[]): string {
  if (figures.length === 0) return "";
  const root = document.documentElement;
  const dark = root.dataset["paper"] === undefined;
  root.dataset["paper"] = ""; // light colours, whatever the screen has
  const boxes = figures.map((f) => f.getBoundingClientRect());
  const copies = figures.map(dressed);
  if (dark) delete root.dataset["paper"];
  const [left, top] = [Math.min(...boxes.map((b) => b.left)), Math.min(...boxes.map((b) => b.top))];
  const [wide, high] = [Math.max(...boxes.map((b) => b.right)) - left, Math.max(...boxes.map((b) => b.bottom)) - top];
  let sheet = copies[0]!;
  if (copies.length > 1) {
    sheet = made("svg", { width: String(wide), height: String(high), viewBox: `0 0 ${wide} ${high}` }) as SVGSVGElement;
    copies.forEach((c, i) => {
      for (const [k, v] of [["x", boxes[i]!.left - left], ["y", boxes[i]!.top - top]] as const) c.setAttribute(k, String(v));
      c.setAttribute("overflow", "visible");
      sheet.append(c);
    });
  }
  sheet.prepend(made("rect", { width: "100%", height: "100%", fill: "#ffffff" }));
  sheet.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  return new XMLSerializer().serializeToString(sheet);
}

/** dressed is a copy with the styles of the page written into it. */
function dressed(figure: SVGSVGElement): SVGSVGElement {
  const copy = figure.cloneNode(true) as SVGSVGElement;
  const [from, to] = [[figure, ...figure.querySelectorAll("*")], [copy, ...copy.querySelectorAll("*")]];
  from.forEach((e, i) => {
    const style = getComputedStyle(e);
    for (const name of written) put(to[i]!, name, style.getPropertyValue(name));
    to[i]!.removeAttribute("class");
  });
  for (const e of copy.querySelectorAll("[data-cursor]")) e.remove();
  return copy;
}

/** put writes a style as an attribute; a colour that one sees through, as programs that draw know it. */
function put(e: Element, name: string, value: string): void {
  if (value === "" || value.includes("url(")) return;
  const clear = /^rgba\((.*), ([\d.]+)\)$/.exec(value);
  if (clear === null) e.setAttribute(name, value);
  else if (Number(clear[2]) === 0) e.setAttribute(name, "none");
  else {
    e.setAttribute(name, `rgb(${clear[1]})`);
    e.setAttribute(`${name}-opacity`, clear[2]!);
  }
}
