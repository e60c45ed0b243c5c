import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { TrendsTabs } from "../trends-tabs.tsx";
import { CostsView } from "./costs-view.tsx";

export const metadata = { title: "Costs" };

export default async function CostsPage() {
  await prefetch(trpc.costs.models.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Costs" lead="What one of each model costs a year and a dive: bought, serviced, mended and sold again. Figures are the centre's own; what nobody entered is named, never taken as nothing." />
      <TrendsTabs />
      <CostsView />
    </Prefetched>
  );
}
