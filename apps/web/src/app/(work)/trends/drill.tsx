import { Link } from "../../../components/link.tsx";
import { addressOf, type About } from "./filter.ts";

/** To the faults behind a figure. */
export function Drill({ about, children }: { about: About; children: string }) {
  return (
    <Link href={addressOf("/trends/faults", about)} className="inline-flex min-h-12 items-center">
      {children}
    </Link>
  );
}
