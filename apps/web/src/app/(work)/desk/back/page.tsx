import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { tagsOf } from "../tags-of.ts";
import { TakeBack } from "./take-back.tsx";

export const metadata = { title: "Take back" };

export default async function BackPage({ searchParams }: { searchParams: Promise<{ sets?: string | string[] }> }) {
  const { sets } = await searchParams;
  await prefetch(trpc.desk.outNow.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Take back" lead="Scan each set that came back. Ask how many dives, look at it, count its components, and ask whether anything was wrong." />
      <TakeBack first={tagsOf(sets)} />
    </Prefetched>
  );
}
