import type { BenchSetView } from "./bench-set.tsx";
import { PartLine } from "./part-line.tsx";

/** The components, for whoever only looks. */
export function BenchParts({ set }: { set: BenchSetView }) {
  return (
    <section aria-labelledby="parts" className="grid gap-4">
      <h2 id="parts">Components</h2>
      <ul className="grid gap-4 lg:grid-cols-2">
        {set.parts.map((part) => (
          <li key={part.id} className="sheet">
            <PartLine part={part} />
          </li>
        ))}
      </ul>
    </section>
  );
}
