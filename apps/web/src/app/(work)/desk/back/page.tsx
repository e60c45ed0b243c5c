import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { DeskTabs } from "../desk-tabs.tsx";
import { tagsOf } from "../tags-of.ts";
import { TakeBack } from "./take-back.tsx";

export const metadata = { title: "Take back" };

export default async function BackPage({ searchParams }: { searchParams: Promise<{ sets?: string | string[] }> }) {
  const { sets } = await searchParams;
  await prefetch(trpc.desk.outNow.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Take back" lead="Scan each set that came back, look at it, and ask about it.">
        <DeskTabs />
      </PageHead>
      <TakeBack first={tagsOf(sets)} />
    </Prefetched>
  );
}
