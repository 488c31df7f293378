// What the dossier says, and what it would say if it were composed now; where it was renewed while the program runs, what the one
// before said.
import { fixed } from "../sheet/numbers";
import { ahead, type Differ, type Standing } from "./store";

/** how many differences are told at once */
const first = 8;

const said = (text: string) => (text === "" ? "nothing" : text.length > 90 ? `${text.slice(0, 88)}…` : text);

function Rows({ list }: { list: Differ[] }) {
  return (
    <tbody>
      {list.map((d) => (
        <tr key={d.from}>
          <th scope="row">{d.from}</th>
          <td class="old">{said(d.first)}</td>
          <td>{said(d.second)}</td>
        </tr>
      ))}
    </tbody>
  );
}

function Table({ title, heads, list, count }: { title: string; heads: [string, string]; list: Differ[]; count: number }) {
  const head = (
    <thead>
      <tr>
        <th scope="col">read at</th>
        <th scope="col">{heads[0]}</th>
        <th scope="col">{heads[1]}</th>
      </tr>
    </thead>
  );
  const more = list.length > first;
  return (
    <section class="differs" aria-label={title}>
      <table>
        <caption>
          {title} <small>{count === 1 ? "one place" : `${fixed(count, 0)} places`}</small>
        </caption>
        {head}
        <Rows list={list.slice(0, first)} />
      </table>
      {more && (
        <details>
          <summary>{list.length < count ? `${fixed(list.length - first, 0)} more of them` : `${fixed(count - first, 0)} more`}</summary>
          <table>
            {head}
            <Rows list={list.slice(first)} />
          </table>
        </details>
      )}
    </section>
  );
}

export function Differs({ s }: { s: Standing }) {
  const a = ahead.value;
  if (a !== null && a.count > 0) return <Table title="Composed now, it would say" heads={["it says", "it would say"]} list={a.differ} count={a.count} />;
  if (s.since !== undefined && s.since.count > 0) return <Table title="Changed since the dossier before" heads={["it said", "it says"]} list={s.since.differ} count={s.since.count} />;
  return null;
}
