import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { TrendsTabs } from "../trends-tabs.tsx";
import { AfterServiceView } from "./after-service-view.tsx";

export const metadata = { title: "After service" };

export default async function AfterServicePage() {
  await prefetch(trpc.trends.choices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="After service" lead="How long parts last from a service to their first confirmed fault, and whether faults come early or with wear." />
      <TrendsTabs />
      <AfterServiceView />
    </Prefetched>
  );
}
