// Saving a picture: as SVG, which is complete by itself, or as PNG at 300 dpi.
import { useRef } from "preact/hooks";
import { asFile } from "./paper";
import { tried } from "./state";

const dpi = 300;

/** Save stands under a figure. svg gives the picture's text; file is its name without an ending. */
export function Save({ svg, file }: { svg: () => string; file: string }) {
  return (
    <p class="save">
      save as <button onClick={() => void tried(faced(svg()).then((s) => save(new Blob([s], { type: "image/svg+xml" }), `${file}.svg`)))}>SVG</button> ·{" "}
      <button onClick={() => void tried(png(svg()).then((b) => save(b, `${file}.png`)))}>PNG</button>
    </p>
  );
}

/** SaveFigure stands behind a figure that the page has drawn by itself, or behind a row of them, and saves what it finds there first. */
export function SaveFigure({ file }: { file: string }) {
  const at = useRef<HTMLDivElement>(null);
  const figures = () => {
    for (let e = at.current?.previousElementSibling; e != null; e = e.previousElementSibling) {
      const all = e instanceof SVGSVGElement ? [e] : [...e.querySelectorAll<SVGSVGElement>("svg")];
      if (all.length > 0) return all;
    }
    return [];
  };
  return (
    <div ref={at}>
      <Save svg={() => asFile(...figures())} file={file} />
    </div>
  );
}

/** save hands a file to the browser; a name from a folder of the bench has no folder there. */
export function save(what: Blob, name: string): void {
  const at = URL.createObjectURL(what);
  const a = document.createElement("a");
  a.href = at;
  a.download = name.replaceAll("/", "-");
  a.click();
  setTimeout(() => URL.revokeObjectURL(at), 10_000);
}

/** png paints SVG text, a CSS pixel being 1/96 of an inch. */
export async function png(svg: string): Promise<Blob> {
  const read = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement as unknown as SVGSVGElement;
  const wide = read.width.baseVal.value;
  const high = read.height.baseVal.value;
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(await faced(svg))}`;
  await image.decode();
  const paper = document.createElement("canvas");
  paper.width = Math.round((wide * dpi) / 96);
  paper.height = Math.round((high * dpi) / 96);
  paper.getContext("2d")!.drawImage(image, 0, 0, paper.width, paper.height);
  return new Promise((done, failed) => paper.toBlob((b) => (b === null ? failed(new Error("the picture cannot be painted")) : done(b)), "image/png"));
}

/** faced is SVG text with the typefaces that it is set in, so that it looks alike on a machine that has none of them. */
export async function faced(svg: string): Promise<string> {
  return svg.replace(/<svg\b[^>]*>/, `$&<style>${(await faces()).replaceAll("<", "")}</style>`);
}

/** faces are the page's own typefaces, written out: a picture that is painted knows no file beside it. */
async function faces(): Promise<string> {
  const all: Promise<string>[] = [];
  for (const sheet of document.styleSheets) {
    for (const rule of sheet.cssRules) {
      if (!(rule instanceof CSSFontFaceRule)) continue;
      const file = /url\("?([^")]+)"?\)/.exec(rule.style.getPropertyValue("src"))?.[1];
      if (file !== undefined) all.push(written(rule.cssText, file, new URL(file, sheet.href ?? location.href)));
    }
  }
  return (await Promise.all(all)).join("\n");
}

async function written(rule: string, file: string, at: URL): Promise<string> {
  const raw = await (await fetch(at)).blob();
  const data = await new Promise<string>((done) => {
    const r = new FileReader();
    r.onload = () => done(String(r.result));
    r.readAsDataURL(raw);
  });
  return rule.replaceAll(file, data);
}
