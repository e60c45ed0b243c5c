import { useId, type ReactNode } from "react";

type RecordListProps = {
  title: string;
  lines: readonly { readonly key: string; readonly line: ReactNode }[];
  /** The sentence for no lines at all. */
  empty: string;
  /** At most so many are listed, the newest. */
  most: number;
};

/** One heading of the record with its dated lines; says so when older ones are left off. */
export function RecordList({ title, lines, empty, most }: RecordListProps) {
  const id = useId();
  return (
    <section aria-labelledby={id} className="grid gap-2">
      <h2 id={id}>{title}</h2>
      {lines.length === 0 ? <p>{empty}</p> : null}
      <ul className="grid gap-2">
        {lines.map(({ key, line }) => (
          <li key={key} className="border-b border-hairline pb-2">
            {line}
          </li>
        ))}
      </ul>
      {lines.length === most ? <p>These are the newest {most}; older ones stand in the set&apos;s life on its page.</p> : null}
    </section>
  );
}
