// A figure that stands in the page as a picture of its own: what style sheets give it is written into it, in ink on white.

const written = ["fill", "stroke", "stroke-width", "stroke-dasharray", "font-family", "font-size", "font-style", "font-weight", "text-anchor", "paint-order", "opacity"];

/** asFile is the text of a figure that is complete by itself. */
export function asFile(figure: SVGSVGElement | null): string {
  if (figure === null) return "";
  const root = document.documentElement;
  const dark = root.dataset["paper"] === undefined;
  root.dataset["paper"] = ""; // light colours, whatever the screen has
  const copy = figure.cloneNode(true) as SVGSVGElement;
  const [from, to] = [[figure, ...figure.querySelectorAll("*")], [copy, ...copy.querySelectorAll("*")]];
  from.forEach((e, i) => {
    const style = getComputedStyle(e);
    for (const name of written) {
      const value = style.getPropertyValue(name);
      if (value !== "" && !value.includes("url(")) to[i]!.setAttribute(name, value);
    }
    to[i]!.removeAttribute("class");
  });
  if (dark) delete root.dataset["paper"];
  for (const e of copy.querySelectorAll("[data-cursor]")) e.remove();
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  const ground = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  for (const [name, value] of [["width", "100%"], ["height", "100%"], ["fill", "#ffffff"]] as const) ground.setAttribute(name, value);
  copy.prepend(ground);
  return new XMLSerializer().serializeToString(copy);
}
