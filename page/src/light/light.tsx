// The light on the window: what a dish throws on the receiver's window, what a window of another size would catch and keep, and
// where the rest of the beam goes.
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Value } from "../drawn/value";
import { InHand, useInHand } from "../section/inhand";
import { address } from "../sheet/ask";
import { edit } from "../sheet/edits";
import { Findings } from "../sheet/findings";
import { keys } from "../sheet/keys";
import { ended, share } from "../sheet/numbers";
import { Picture } from "../sheet/picture";
import { useRoom } from "../sheet/room";
import { inUnits } from "../sheet/sentence";
import { tried } from "../sheet/state";
import { look, view } from "../sheet/view";
import { again, cast, chosen, follow, lights, places, stop, told, type Told, unsettled } from "./cast";
import "./light.css";
import { standing } from "./standing";
import { Bests, hours, Numbers, Uncertain } from "./tables";

keys({
  key: "d",
  does: "to the window's size on the light; Tab for the next, Enter changes it",
  run: () => document.querySelector<SVGElement>(".lit .given")?.focus(),
  when: () => document.querySelector(".lit .given") !== null && document.querySelector(".section .given") === null,
});

/** lightSays is the answer in a few words; empty where nobody has looked yet. */
export function lightSays(): string {
  const n = told.value?.numbers.find((n) => n.unit === "1");
  return n === undefined ? "" : `${share(n.value)} in the window`;
}

/** Drawn is a picture of the light that is looked at, laid out for its place. */
function Drawn({ of, what, high, says, children }: { of: Told; what: string; high: number; says: string; children?: ComponentChildren }) {
  const [at, room] = useRoom<HTMLElement>(10, 300);
  return (
    <figure class={what} ref={at}>
      {room > 0 && <Picture src={address(`light/${what}`, { name: of.light, wide: room, high, answer: of.answer })} file={`${of.light.replace(/\.ya?ml$/, "")}-${says}`} />}
      {children}
    </figure>
  );
}

/** Plane is the light on the window's plane, on which the window's lengths open where they stand. */
function Plane({ of }: { of: Told }) {
  const [at, room, box] = useRoom<HTMLElement>(10, 300);
  const { held, take, leave } = useInHand(box);
  const high = Math.min(Math.max(room - 40, 330), 470);
  return (
    <figure class="flux" ref={at} onClick={take} onKeyDown={take}>
      {room > 0 && <Picture src={address("light/flux", { name: of.light, wide: room, high, answer: of.answer, read: of.read })} file={`${of.light.replace(/\.ya?ml$/, "")}-flux`} />}
      {held !== null && <InHand key={held.path} of={held} leave={leave} />}
      <p class="caution">{of.caution}</p>
    </figure>
  );
}

/** Stated is a value of the light's file in a sentence, which opens where it stands. */
function Stated({ path, before }: { path: string; before: string }) {
  const file = places.value;
  const field = file?.fields.find((f) => f.path === path);
  if (file == null || field === undefined) return null;
  return (
    <label class="stated">
      {before} <Value key={field.path} file={file} field={field} />
    </label>
  );
}

/** Right is which window keeps the most; where that is not asked, it can be. */
function Right({ of }: { of: Told }) {
  const day = view.value.also["kept"] === "day" && of.day_s > 0;
  if (of.best.length === 0) return of.may_ask ? <Ask /> : null;
  return (
    <div class="right">
      <Drawn of={of} what={day ? "kept-day" : "kept"} high={310} says="kept">
        {of.day_s > 0 && (
          <figcaption>
            <fieldset>
              <legend>kept</legend>
              {[false, true].map((d) => (
                <label key={String(d)}>
                  <input type="radio" name="kept" checked={d === day} onChange={() => look({ also: { ...view.value.also, kept: d ? "day" : "" } })} /> {d ? `over ${hours(of.day_s)}` : "now"}
                </label>
              ))}
            </fieldset>
          </figcaption>
        )}
      </Drawn>
      <p class="asked">
        <Stated path="right window.at" before="the block's face at" />
      </p>
    </div>
  );
}

/** Ask asks for the right window: it needs the temperature at which the block works. */
function Ask() {
  const [at, setAt] = useState("300 degC");
  const [wrong, setWrong] = useState<string[]>([]);
  const write = async () => {
    const file = places.value;
    if (file === null) return;
    const got = await edit(file, "right window", `{at: ${at.trim()}}`);
    if (got !== undefined) setWrong(got.written ? [] : got.problems.map((p) => p.message));
  };
  return (
    <form
      class="right ask"
      onSubmit={(e) => {
        e.preventDefault();
        void write();
      }}
    >
      <p>How large should the window be? A larger one catches more and loses more.</p>
      <label>
        the block's face at <input class="pen" value={at} size={10} onInput={(e) => setAt((e.target as HTMLInputElement).value)} />
      </label>{" "}
      <button>find it</button>
      {wrong.map((w) => (
        <p key={w} class="mistake" role="alert">
          {w}
        </p>
      ))}
    </form>
  );
}

/** Which names the bench's lights, where there are several. */
function Which() {
  const all = lights.value ?? [];
  if (all.length < 2) return null;
  return (
    <nav class="lights" aria-label="Lights">
      {all.map((name) => (
        <a
          key={name}
          href={`/${view.value.question}?light=${encodeURIComponent(name)}`}
          aria-current={name === chosen() ? "true" : undefined}
          onClick={(e) => {
            e.preventDefault();
            look({ also: { ...view.value.also, light: name } });
          }}
        >
          {name.replace(/\.ya?ml$/, "")}
        </a>
      ))}
    </nav>
  );
}

/** Now says how far the cast has got, and stops it or goes on. */
function Now({ of }: { of: Told }) {
  const c = cast.value ?? of;
  return (
    <p class="castnow">
      <span>{standing(c)}</span>
      {c.state === "computing" && (
        <button type="button" onClick={() => void tried(stop(of.light))}>
          stop
        </button>
      )}
      {(c.state === "stopped" || c.state === "failed") && (
        <button type="button" onClick={() => void tried(again(of.light))}>
          go on
        </button>
      )}
      <span class="heard" role="status">
        {c.state === "computing" ? (c.coarse ? "coarse; numbers may still change" : "rays are being cast") : standing(c)}
      </span>
    </p>
  );
}

export function Light() {
  useEffect(follow, []);
  const t = told.value;
  if (lights.value === null || chosen() === "") return null;
  const pale = t !== null && unsettled(t);
  return (
    <section class="lit outcome" aria-label="The light on the window">
      <div class="head">
        <h2>The light on the window</h2>
        {t !== null && <Now of={t} />}
      </div>
      <Which />
      {t === null || t.sentence === "" ? (
        <p>{t?.state === "mistaken" ? "The files hold mistakes, so no rays are cast." : (t?.failure ?? "The first rays are being cast.")}</p>
      ) : (
        <p class={pale ? "says unsettled" : "says"}>
          {inUnits(t.sentence)}
          {pale && <span class="heard"> may still change</span>}
        </p>
      )}
      {t !== null && t.right !== "" && <p class={pale ? "says unsettled" : "says"}>{inUnits(t.right)}</p>}
      {t?.failure !== undefined && t.sentence !== "" && (
        <p class="mistake" role="alert">
          {t.failure}
        </p>
      )}
      {t !== null && t.problems.length > 0 && (
        <>
          {t.state === "mistaken" && t.sentence !== "" && <p class="before">The files hold mistakes. The light shown is that of before them.</p>}
          <Findings problems={t.problems} />
        </>
      )}
      {t !== null && t.answer > 0 && (
        <>
          <div class="plates">
            <Plane of={t} />
            <div>
              <Drawn of={t} what="catch" high={240} says="catch" />
              <p class="asked">
                <Stated path="beam" before="beam" />
              </p>
              <Numbers of={t} />
            </div>
            <Right of={t} />
            <Drawn of={t} what="beam" high={400} says="beam" />
            <div class="tables">
              <Bests of={t} />
              <Uncertain of={t} />
              <p class="small">{t.statistics}</p>
              {t.notes.map((n) => (
                <p key={n} class="small">
                  {inUnits(ended(n))}
                </p>
              ))}
            </div>
          </div>
        </>
      )}
    </section>
  );
}
