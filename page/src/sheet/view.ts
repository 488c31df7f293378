// The view is in the address, so that a link brings it back.
import { signal } from "@preact/signals";
import type { Axis } from "./bench";

export interface View {
  question: string;
  run: string;
  /** s, the cursor */
  time: number;
  /** the section's plane and, in m, where it cuts; NaN: through the middle of the block */
  axis: Axis;
  at: number;
  file: string;
  /** what only the question at hand knows, as it stands in the address */
  also: Record<string, string>;
}

const ours = new Set(["run", "time", "axis", "at", "file"]);

function read(): View {
  const q = new URLSearchParams(location.search);
  const axis = q.get("axis");
  return {
    question: location.pathname.slice(1) || "will",
    run: q.get("run") ?? "",
    time: Number(q.get("time") ?? "Infinity"),
    axis: axis === "depth" || axis === "height" ? axis : "width",
    at: q.has("at") ? Number(q.get("at")) : NaN,
    file: q.get("file") ?? "",
    also: Object.fromEntries([...q].filter(([k]) => !ours.has(k))),
  };
}

export const view = signal<View>(read());

addEventListener("popstate", () => {
  view.value = read();
});

/** look changes the view; what only another question knows is left behind. A step that one may want to go back from gets an entry of its own in the browser's history. */
export function look(change: Partial<View>): void {
  const next = { ...view.value, ...change };
  if (change.question !== undefined && change.question !== view.value.question) next.also = change.also ?? {};
  const q = new URLSearchParams();
  if (next.run !== "") q.set("run", next.run);
  if (Number.isFinite(next.time)) q.set("time", String(Math.round(next.time)));
  if (next.axis !== "width") q.set("axis", next.axis);
  if (Number.isFinite(next.at)) q.set("at", String(next.at));
  if (next.file !== "") q.set("file", next.file);
  for (const [k, v] of Object.entries(next.also)) if (v !== "") q.set(k, v);
  const to = `/${next.question}${q.size > 0 ? "?" + q.toString() : ""}`;
  if (change.question !== undefined || change.run !== undefined || change.file !== undefined) history.pushState(null, "", to);
  else history.replaceState(null, "", to);
  view.value = next;
}
