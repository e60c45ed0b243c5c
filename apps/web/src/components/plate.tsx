import { Link } from "./link.tsx";

/** A set's tag, drawn as the plate that hangs on it; with `to`, a link to the set's page. */
export function Plate({ tag, to }: { tag: string; to?: string }) {
  if (to === undefined) return <span className="plate">{tag}</span>;
  return (
    <Link href={to} className="inline-flex min-h-12 items-center no-underline" aria-label={`Set ${tag}`}>
      <span className="plate">{tag}</span>
    </Link>
  );
}
