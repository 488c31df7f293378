// The time strip: temperatures above, heat flows and what else is chosen below, one cursor for the whole sheet. It is used by
// keys alone as well as by hand; a table of the same rows stands behind it, and it is set again for paper.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { keys, tell } from "../sheet/keys";
import { clock } from "../sheet/numbers";
import { useRoom } from "../sheet/room";
import { computes } from "../sheet/standing";
import { moved, run } from "../sheet/state";
import { Save } from "../sheet/save";
import { dark } from "../sheet/theme";
import { look } from "../sheet/view";
import { Choose } from "./choose";
import { Curves } from "./curves";
import { namesOf, wide } from "./names";
import { asSvg, flagRows, measured } from "./paper";
import { Differences, Rows } from "./rows";
import { cursor, panels, through } from "./sheet";
import { also, asAddressed, axis, bands, begins, ends, follow, laid, other, others, stretch, whole, zoom } from "./store";
import "./strip.css";
import { moment } from "../sheet/times";

const toName = { r: "run", t: "trial" } as const;

/** laidNext lays the next other run, or the next trial, over; after the last none. */
function laidNext(kind: "run" | "trial"): void {
  const list = others.value.filter((o) => o.kind === kind && o.name !== run.value?.run).map((o) => o.name);
  also({ beside: list[list.indexOf(other.value) + 1] ?? "" });
}

const shown = () => document.querySelector(".strip .axis") !== null;

/** step moves the cursor by rows that are drawn. */
function step(rows: number): void {
  const t = whole.value?.time_s ?? [];
  if (t.length === 0) return;
  const [from, to] = axis.value;
  const now = cursor();
  const some = stretch.value === null ? t : t.filter((s) => s >= from - (to - from) && s <= to + (to - from));
  const least = (to - from) / 400; // so that a key held down gets across
  let at = some.findIndex((s) => s > now + 1e-6);
  if (at < 0) at = some.length;
  at += rows > 0 ? rows - 1 : rows - (some[at - 1]! < now - 1e-6 ? 0 : 1);
  const next = some[Math.max(0, Math.min(some.length - 1, at))] ?? now;
  point(Math.abs(next - now) < least && Math.abs(rows) === 1 ? Math.max(0, Math.min(ends.value, nearest(t, now + Math.sign(rows) * least))) : next);
}

/** nearest is the drawn row next to a time. */
function nearest(t: readonly number[], at: number): number {
  let best = t[0] ?? 0;
  for (const s of t) if (Math.abs(s - at) < Math.abs(best - at)) best = s;
  return best;
}

/** point sets the cursor; the axis follows where it would leave it. */
function point(t: number): void {
  look({ time: t });
  const [from, to] = axis.value;
  if (stretch.value === null || (t >= from && t <= to)) return;
  const wide = to - from;
  if (t < from) zoom(t - 0.1 * wide, t + 0.9 * wide);
  else zoom(t - 0.9 * wide, t + 0.1 * wide);
}

function closer(k: number): void {
  const [from, to] = axis.value;
  const at = Math.max(from, Math.min(to, cursor()));
  zoom(at - (at - from) * k, at + (to - at) * k);
}

function event(way: 1 | -1): void {
  const events = run.value?.events ?? [];
  const now = cursor();
  const next = way > 0 ? events.find((e) => e.at_s > now + 1e-6) : events.findLast((e) => e.at_s < now - 1e-6);
  if (next !== undefined) point(next.at_s);
}

keys(
  { key: "r", does: "lay another run over", run: () => laidNext(toName.r), when: shown },
  { key: "t", does: "lay a trial over", run: () => laidNext(toName.t), when: shown },
  { key: "[", does: "event before", run: () => event(-1), when: shown },
  { key: "]", does: "event after", run: () => event(1), when: shown },
  { key: "+", does: "look closer", run: () => closer(0.5), when: shown },
  { key: "-", does: "look from farther off", run: () => closer(2), when: shown },
  { key: "\u2212", does: "look from farther off", run: () => closer(2), when: shown },
  { key: "0", does: "the whole time", run: () => (stretch.value = null, zoom(0, Infinity)), when: shown },
  { key: "/", does: "find a word among the columns", run: () => (choosing.open?.(), undefined), when: shown },
);
tell(
  { key: "← →", does: "cursor; with Shift ten steps" },
  { key: "Home End", does: "cursor to the ends" },
  { key: "Enter", does: "the table behind the curves" },
);

/** the list of columns, which a key opens */
const choosing: { open: (() => void) | null } = { open: null };

/** useFaces counts on when the faces are there: names are as wide as theirs. */
function useFaces(): number {
  const [n, setN] = useState(0);
  useEffect(() => void document.fonts.ready.then(() => setN(1)), []);
  return n;
}

const words = () => (run.value?.events ?? []).map((e) => ({ at_s: e.at_s, text: e.does.length > 0 ? `${e.what}: ${e.does.join(", ")}` : e.what }));

const printed = 1030; // px across A4 within its margins

export function Strip() {
  useLayoutEffect(asAddressed, []);
  useEffect(follow, []);
  const [box, width] = useRoom<HTMLDivElement>();
  const scale = parseFloat(getComputedStyle(document.documentElement).fontSize) / 10;
  const theme = useFaces() + (dark.value ? 2 : 0);
  const [table, setTable] = useState(false);
  const [choose, setChoose] = useState(false);
  const [paper, setPaper] = useState("");
  choosing.open = () => setChoose(true);
  const all = panels();
  const t = through();
  const title = run.value?.title ?? "";
  const picture = () => asSvg(all, t, words(), title, printed);
  useEffect(() => {
    const before = () => setPaper(picture());
    const after = () => setPaper("");
    addEventListener("beforeprint", before);
    addEventListener("afterprint", after);
    return () => {
      removeEventListener("beforeprint", before);
      removeEventListener("afterprint", after);
    };
  });
  const onKey = (e: KeyboardEvent) => {
    const rows = e.shiftKey ? 10 : 1;
    if (e.key === "ArrowRight") step(rows);
    else if (e.key === "ArrowLeft") step(-rows);
    else if (e.key === "Home") point(0);
    else if (e.key === "End") point(whole.value?.time_s.at(-1) ?? 0);
    else if (e.key === "Enter") setTable(!table);
    else return;
    e.preventDefault();
  };
  const names = all.map((p) => namesOf(p, t.cursor, t.to));
  const left = 54 * scale;
  const right = Math.min(wide(names, (s, italic) => measured(s, (italic ? 12.5 : 11.5) * scale, italic)) + 6, width * 0.42);
  const hands = { point: (at: number) => point(nearest(whole.value?.time_s ?? [], at)), zoom };
  return (
    <section class="strip" aria-label="Over time">
      <Head choose={() => setChoose(!choose)} choosing={choose} picture={picture} />
      {choose && <Choose close={() => setChoose(false)} />}
      {width > 0 && all.length > 0 && <Flags left={left} width={width - left - right} scale={scale} />}
      <div
        class="axis"
        ref={box}
        tabIndex={0}
        role="slider"
        aria-label="Time. Arrows move it, Home and End go to its ends, brackets to events, plus and minus look closer or farther, Enter shows the table"
        aria-valuemin={0}
        aria-valuemax={Math.round(ends.value)}
        aria-valuenow={Math.round(t.cursor)}
        aria-valuetext={`${clock(t.cursor)}. ${names.flatMap((n, i) => n.map((x) => `${x.name} ${x.value} ${all[i]!.shown}`)).join(", ")}`}
        onKeyDown={onKey}
      >
        {width > 0 &&
          all.map((p, i) => (
            <Curves
              key={p.unit + (p.apart === null ? "" : " apart")}
              panel={p}
              through={t}
              names={names[i]!}
              shape={{ width, left, right, scale, first: i === 0, last: i === all.length - 1 }}
              hands={hands}
              theme={theme}
            />
          ))}
      </div>
      {paper !== "" && <Paper svg={paper} />}
      <Foot />
      {table && <Rows />}
      {table && <Differences />}
    </section>
  );
}

/** Head says what is shown and holds what may be changed of it. */
function Head({ choose, choosing, picture }: { choose: () => void; choosing: boolean; picture: () => string }) {
  const of = (kind: string) => others.value.filter((o) => o.kind === kind && o.name !== run.value?.run);
  const m = moved.value;
  return (
    <div class="head">
      <h2>Over time</h2>
      <output>{m?.state === "computing" ? computes(m) : ""}</output>
      <label class="over">
        laid over{" "}
        <select value={other.value} onChange={(e) => also({ beside: (e.target as HTMLSelectElement).value })}>
          <option value="">nothing</option>
          {(["run", "trial"] as const).map(
            (kind) =>
              of(kind).length > 0 && (
                <optgroup key={kind} label={kind === "run" ? "runs" : "trials"}>
                  {of(kind).map((o) => (
                    <option key={o.name} value={o.name}>
                      {o.name}
                    </option>
                  ))}
                </optgroup>
              ),
          )}
        </select>
      </label>
      {laid.value?.measured === true && (
        <label>
          the run begins{" "}
          <input class="begins" type="number" step="any" value={begins.value / 60} onChange={(e) => also({ begins: String(Number((e.target as HTMLInputElement).value) * 60 || "") })} /> min into
          it
        </label>
      )}
      <button aria-expanded={choosing} onClick={choose}>
        columns
      </button>
      <span class="closer">
        <button aria-label="look closer" onClick={() => closer(0.5)}>
          +
        </button>
        <button aria-label="look from farther off" onClick={() => closer(2)}>
          −
        </button>
        <button onClick={() => zoom(0, Infinity)} disabled={stretch.value === null}>
          whole
        </button>
      </span>
      <Save svg={picture} file={`${(run.value?.run ?? "run").replace(/\.ya?ml$/, "")}-over-time`} />
    </div>
  );
}

/** Flags are the events with what they switch, each at its moment. */
function Flags({ left, width, scale }: { left: number; width: number; scale: number }) {
  const [from, to] = axis.value;
  const size = 11 * scale;
  const seen = words().filter((w) => w.at_s >= from && w.at_s <= to);
  const { set, rows } = flagRows(seen, (s) => left + ((s - from) / (to - from)) * width, left + width + 40, size);
  const box = (at: HTMLDivElement | null) => at?.style.setProperty("height", `${rows * (size + 5)}px`);
  return (
    <div class="flags" ref={box}>
      {set.map((f) => (
        <button
          key={`${f.at_s}${f.text}`}
          class={f.anchor}
          ref={(b) => {
            b?.style.setProperty("left", `${f.x + (f.anchor === "start" ? -3 : 3)}px`);
            b?.style.setProperty("top", `${f.row * (size + 5)}px`);
          }}
          title={moment(f.at_s, 1)}
          onClick={() => point(f.at_s)}
        >
          {f.text}
        </button>
      ))}
    </div>
  );
}

/** Foot says in words what is laid over and what bands are of. */
function Foot() {
  const b = laid.value;
  const said: string[] = [];
  if (b !== null && b.measured) {
    said.push(`Open marks: ${b.title}, measured. Below, computed less measured${b.apart.columns.some((c) => c.half !== null) ? "; the grey lanes are what the sensors leave open at 95 %, and shares are those of the time within" : ""}.`);
    if (b.only.length > 0) said.push(`The run has no column for ${b.only.join(", ")}.`);
  } else if (b !== null) said.push(`Broad and pale: ${b.title}. Below, this run less that one${b.state === "computing" ? ", which is still being computed" : ""}.`);
  if (b?.apart.drawn === true) said.push("The two have few times in common: between rows, straight lines are compared.");
  if (b !== null && b.apart.columns.length === 0 && b.state !== "computing") said.push("The two share none of these columns at a common time.");
  if (bands.value !== null) said.push(bands.value.says);
  return said.length === 0 ? null : <p class="said">{said.join(" ")}</p>;
}

function Paper({ svg }: { svg: string }) {
  const at = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const read = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    at.current?.replaceChildren(document.importNode(read, true));
  }, [svg]);
  return <div class="paper" ref={at} />;
}
