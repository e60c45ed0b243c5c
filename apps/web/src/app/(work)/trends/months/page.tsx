import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { TrendsTabs } from "../trends-tabs.tsx";
import { MonthsView } from "./months-view.tsx";

export const metadata = { title: "Faults month by month" };

export default async function MonthsPage() {
  await prefetch(trpc.trends.choices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Month by month" lead="Whether faults come more often than they used to, or one month was only unlucky." />
      <TrendsTabs />
      <MonthsView />
    </Prefetched>
  );
}
