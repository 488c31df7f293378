// The view is in the address, so that a link brings it back.
import { signal } from "@preact/signals";
import type { Axis } from "./api";

export type Question = "drawn" | "will";

export interface View {
  question: Question;
  run: string;
  /** s, the cursor */
  time: number;
  /** the section's plane and, in m, where it cuts; NaN: through the middle of the block */
  axis: Axis;
  at: number;
  file: string;
}

function read(): View {
  const q = new URLSearchParams(location.search);
  const axis = q.get("axis");
  return {
    question: location.pathname === "/drawn" ? "drawn" : "will",
    run: q.get("run") ?? "",
    time: Number(q.get("time") ?? "Infinity"),
    axis: axis === "depth" || axis === "height" ? axis : "width",
    at: q.has("at") ? Number(q.get("at")) : NaN,
    file: q.get("file") ?? "",
  };
}

export const view = signal<View>(read());

addEventListener("popstate", () => {
  view.value = read();
});

/** look changes the view. A step that one may want to go back from gets an entry of its own in the browser's history. */
export function look(change: Partial<View>): void {
  const next = { ...view.value, ...change };
  const q = new URLSearchParams();
  if (next.run !== "") q.set("run", next.run);
  if (Number.isFinite(next.time)) q.set("time", String(Math.round(next.time)));
  if (next.axis !== "width") q.set("axis", next.axis);
  if (Number.isFinite(next.at)) q.set("at", String(next.at));
  if (next.question === "drawn" && next.file !== "") q.set("file", next.file);
  const to = `/${next.question}${q.size > 0 ? "?" + q.toString() : ""}`;
  if (change.question !== undefined || change.run !== undefined || change.file !== undefined) history.pushState(null, "", to);
  else history.replaceState(null, "", to);
  view.value = next;
}
