import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { StartRun } from "./start-run.tsx";

export const metadata = { title: "Put sets in a bath" };

type Search = Promise<Record<string, string | string[] | undefined>>;

/** `?tag=` begins with one set, `?all=1` with all that wait. */
export default async function StartPage({ searchParams }: { searchParams: Search }) {
  const { tag, all } = await searchParams;
  const { staff } = await whoAmI();
  if (staff?.roles.includes("wash-room") === true) await prefetch(trpc.washRoom.queue.queryOptions());
  return (
    <Prefetched>
      <StartRun first={typeof tag === "string" ? tag : null} all={all === "1"} />
    </Prefetched>
  );
}
