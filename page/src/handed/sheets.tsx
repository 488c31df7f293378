// A document of the dossier as it is read and printed: on white, in a frame that runs no script. Its links lead to the bench's files:
// what can be edited opens in the editor, all else beside the page.
import type { RefObject } from "preact";
import { look } from "../sheet/view";
import { at, type Paper } from "./store";

/** lead opens what a link of the document leads to. */
function lead(e: MouseEvent): void {
  const a = (e.target as Element | null)?.closest?.("a[href]");
  const href = a?.getAttribute("href") ?? "";
  if (a === null || a === undefined || href.startsWith("#")) return;
  e.preventDefault();
  const to = new URL((a as HTMLAnchorElement).href);
  const file = to.origin === location.origin ? decodeURIComponent(to.pathname.replace(/^\/bench\//, "")) : "";
  if (/\.ya?ml$/.test(file) && !file.startsWith("results/")) look({ question: "drawn", file });
  else if (/^https?:$/.test(to.protocol)) open(to.href, "_blank", "noopener");
}

interface Props {
  paper: Paper | undefined;
  /** when it was written: another time is another text */
  at: string;
  frame: RefObject<HTMLIFrameElement | null>;
}

export function Sheets({ paper, at: when, frame }: Props) {
  if (paper?.html === undefined) {
    return (
      <div class="sheets none">
        <p>Nothing is written yet. The dossier is composed from the results that stand in the bench; it computes no run.</p>
      </div>
    );
  }
  return (
    <div class="sheets">
      <iframe
        key={paper.name + when}
        ref={frame}
        title={`${paper.is}, as it is handed over`}
        src={`${at(paper.html.path)}?at=${encodeURIComponent(when)}`}
        sandbox="allow-same-origin allow-modals"
        onLoad={(e) => (e.target as HTMLIFrameElement).contentDocument?.addEventListener("click", lead)}
      />
    </div>
  );
}
