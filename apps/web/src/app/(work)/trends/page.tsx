import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../trpc/server.tsx";
import { ModelsView } from "./models-view.tsx";
import { TrendsTabs } from "./trends-tabs.tsx";

export const metadata = { title: "Trends" };

export default async function TrendsPage() {
  await prefetch(trpc.trends.choices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Trends" lead="Which models give trouble, counted against the dives their parts made while they were fitted." />
      <TrendsTabs />
      <ModelsView />
    </Prefetched>
  );
}
