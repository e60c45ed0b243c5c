import { Plate } from "../../../components/plate.tsx";

/** The sets of a run, as their plates. */
export function Plates({ sets }: { sets: readonly { tag: string }[] }) {
  return (
    <ul className="flex flex-wrap gap-3 text-xl" aria-label="Sets">
      {sets.map(({ tag }) => (
        <li key={tag}>
          <Plate tag={tag} />
        </li>
      ))}
    </ul>
  );
}
