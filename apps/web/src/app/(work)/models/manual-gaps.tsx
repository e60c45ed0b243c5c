"use client";
import { useQuery } from "@tanstack/react-query";
import { Icon } from "../../../components/icon.tsx";
import { Link } from "../../../components/link.tsx";
import { countText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { gapWords } from "./gap-words.ts";

/** Each model in use of which the bench lacks something, by name, with what that is. Nothing where nothing is lacking. */
export function ManualGaps() {
  const trpc = useTRPC();
  const gaps = useQuery(trpc.models.gaps.queryOptions());
  const rows = gaps.data?.rows ?? [];
  if (rows.length === 0) return null;
  return (
    <details className="sheet screen-only mb-8" open={rows.length <= 6}>
      <summary className="min-h-12 py-3 text-lg font-bold">Still to be entered from the manuals: {countText(rows.length, "model")} in use</summary>
      <ul className="grid gap-3">
        {rows.map((row) => (
          <li key={row.id} className="flex gap-3">
            <span className="pt-3">
              <Icon name="octagon" />
            </span>
            <span className="min-w-0">
              <Link href={`/models/${row.id}`} className="inline-flex min-h-12 items-center font-semibold">
                {row.maker} {row.name}
              </Link>
              <span className="block">{gapWords(row)}</span>
            </span>
          </li>
        ))}
      </ul>
    </details>
  );
}
