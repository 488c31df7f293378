// How the page asks the server, which describes its interface under /api/openapi.json.
import { doing, mended } from "./troubles";

/** What the server refused, in its words. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

let asked = 0;
let waiting: (() => void)[] = [];

/** quiet waits until the page waits for nothing that it has asked for. */
export const quiet = (): Promise<void> => (asked === 0 ? Promise.resolve() : new Promise((done) => waiting.push(done)));

/** told counts what is asked for until it is there. */
async function told<T>(what: () => Promise<T>): Promise<T> {
  asked++;
  try {
    return await what();
  } finally {
    if (--asked === 0) {
      const all = waiting;
      waiting = [];
      for (const done of all) done();
    }
  }
}

/** what errors of asking were about, as troubles are told apart */
const about = new WeakMap<object, string>();

/** aboutOf is what an error was about; what was not asked for here was done by the reader. */
export const aboutOf = (e: unknown): string => (typeof e === "object" && e !== null ? about.get(e) : undefined) ?? doing;

export const ask = <T>(path: string, query: Record<string, string | number> = {}, init?: RequestInit): Promise<T> =>
  told(async () => {
    const of = init?.method === undefined ? `${path} ${query["name"] ?? query["path"] ?? ""}` : doing;
    try {
      const r = await fetch(address(path, query), init);
      if (!r.ok) throw await refused(r);
      const got = (await r.json().catch(() => ({}))) as T;
      mended(of);
      return got;
    } catch (e) {
      if (typeof e === "object" && e !== null) about.set(e, of);
      throw e;
    }
  });

/** askText asks for a picture or another text, by its address. */
export const askText = (at: string): Promise<string> =>
  told(async () => {
    const r = await fetch(at);
    if (!r.ok) throw await refused(r);
    return r.text();
  });

async function refused(r: Response): Promise<Refused> {
  const { detail, title } = (await r.json().catch(() => ({}))) as { detail?: string; title?: string };
  return new Refused(r.status, detail ?? title ?? r.statusText);
}

export function address(path: string, query: Record<string, string | number>): string {
  const q = new URLSearchParams(Object.entries(query).map(([k, v]) => [k, String(v)]));
  return `/api/${path}${q.size > 0 ? "?" + q.toString() : ""}`;
}

/** send asks with a body. */
export function send<T>(method: "POST" | "PUT" | "DELETE", path: string, query: Record<string, string | number>, body: unknown): Promise<T> {
  return ask<T>(path, query, { method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
}
