import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { TrendsTabs } from "../trends-tabs.tsx";
import { FaultsBehind } from "./faults-behind.tsx";

export const metadata = { title: "The faults behind a figure" };

export default async function FaultsPage() {
  await prefetch(trpc.trends.choices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="The faults behind a figure" lead="Each fault that was counted, with its set and what the finder said." />
      <TrendsTabs />
      <FaultsBehind />
    </Prefetched>
  );
}
