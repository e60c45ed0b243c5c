import { isFoundWhere } from "../../../../bench-words.ts";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { ReportFault } from "./report-fault.tsx";

export const metadata = { title: "Report a fault" };

type Search = Promise<Record<string, string | string[] | undefined>>;

/** `?tag=` names the set, `?where=` the place; both may be left out. */
export default async function ReportPage({ searchParams }: { searchParams: Search }) {
  const { tag, where } = await searchParams;
  const first = typeof tag === "string" && tag !== "" ? tag.toUpperCase() : null;
  await Promise.all([prefetch(trpc.faults.severities.queryOptions()), first === null ? null : prefetch(trpc.sets.one.queryOptions({ tag: first }))]);
  return (
    <Prefetched>
      <ReportFault first={first} where={isFoundWhere(where) ? where : null} />
    </Prefetched>
  );
}
