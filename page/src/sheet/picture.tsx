// A picture that the server draws as SVG, taken into the page so that it has the page's colours and its parts can be
// touched. The old one stays until the new one is there; of several that are wanted meanwhile only the last is fetched.
import { useEffect, useRef, useState } from "preact/hooks";
import { address, askText } from "./ask";
import { inReadersUnits } from "./degrees";
import "./picture.css";
import { Save } from "./save";
import "./tints.css";
import { chosen } from "./units";

let taken = 0;

/** adopt reads SVG text as an element of this page. Its names get a prefix, so that two pictures do not meddle. */
export function adopt(text: string, kept = false): SVGSVGElement {
  const read = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (read.localName !== "svg") throw new Error("the picture cannot be read");
  const prefix = `p${++taken}-`;
  for (const e of [read, ...read.querySelectorAll("*")]) {
    if (/^(script|style|foreignObject|iframe|a|image|use)$/i.test(e.localName)) {
      e.remove();
      continue;
    }
    for (const { name, value } of [...e.attributes]) {
      if (/^on|^style$|href$/i.test(name)) e.removeAttribute(name);
      else if (name === "id") e.id = prefix + value;
      else if (name === "aria-labelledby") e.setAttribute(name, value.replace(/\S+/g, (id) => prefix + id));
      else if (value.includes("url(#")) e.setAttribute(name, value.replaceAll("url(#", `url(#${prefix}`));
    }
  }
  inReadersUnits(read, kept);
  return document.importNode(read, true) as unknown as SVGSVGElement;
}

/** asShown is a picture's text with the numbers that are shown. */
function asShown(text: string, kept: boolean): string {
  const read = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  inReadersUnits(read, kept);
  return new XMLSerializer().serializeToString(read);
}

interface Props {
  /** the picture's address */
  src: string;
  /** the name of a file to save it as, without its ending */
  file: string;
  /** told when a new picture stands in the page */
  drawn?: (svg: SVGSVGElement) => void;
}

export function Picture({ src, file, drawn }: Props) {
  const at = useRef<HTMLDivElement>(null);
  const wanted = useRef("");
  const kept = src.startsWith(address("result", {})); // by results, drawn by whatever program has computed them
  const asking = useRef(false);
  const [text, setText] = useState("");
  const [trouble, setTrouble] = useState("");

  const fetchLast = async () => {
    asking.current = true;
    for (let last = ""; last !== wanted.current; ) {
      last = wanted.current;
      try {
        const got = await askText(last);
        if (at.current === null) break;
        show(got);
        setText(got);
        setTrouble("");
      } catch (e) {
        setTrouble(e instanceof Error ? e.message : String(e));
      }
    }
    asking.current = false;
  };
  const show = (got: string) => {
    const box = at.current!;
    const held = box.contains(document.activeElement) ? document.activeElement?.getAttribute("data-path") : null;
    const svg = adopt(got, kept);
    box.replaceChildren(svg);
    drawn?.(svg);
    if (held != null) box.querySelector<SVGElement>(`[data-path="${CSS.escape(held)}"]`)?.focus();
  };
  useEffect(() => {
    wanted.current = src;
    if (!asking.current) void fetchLast();
  }, [src]);
  const units = chosen.value;
  useEffect(() => {
    if (text !== "") show(text);
  }, [units]);

  return (
    <>
      <div class="picture" ref={at} />
      {trouble !== "" && <p class="later">{text === "" ? trouble : `The picture is of before: ${trouble}`}</p>}
      {text !== "" && <Save svg={() => asShown(text, kept)} file={file} />}
    </>
  );
}
