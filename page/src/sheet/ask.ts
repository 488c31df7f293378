// How the page asks the server, which describes its interface under /api/openapi.json.

/** What the server refused, in its words. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

export async function ask<T>(path: string, query: Record<string, string | number> = {}, init?: RequestInit): Promise<T> {
  const r = await fetch(address(path, query), init);
  const said: unknown = await r.json().catch(() => ({}));
  if (!r.ok) {
    const { detail, title } = said as { detail?: string; title?: string };
    throw new Refused(r.status, detail ?? title ?? r.statusText);
  }
  return said as T;
}

export function address(path: string, query: Record<string, string | number>): string {
  const q = new URLSearchParams(Object.entries(query).map(([k, v]) => [k, String(v)]));
  return `/api/${path}${q.size > 0 ? "?" + q.toString() : ""}`;
}

/** send asks with a body. */
export function send<T>(method: "POST" | "PUT" | "DELETE", path: string, query: Record<string, string | number>, body: unknown): Promise<T> {
  return ask<T>(path, query, { method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
}
