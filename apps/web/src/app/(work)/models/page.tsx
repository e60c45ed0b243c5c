import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../trpc/server.tsx";
import { AddModel } from "./add-model.tsx";
import { ManualGaps } from "./manual-gaps.tsx";
import { ModelsList } from "./models-list.tsx";
import { ModelsTabs } from "./models-tabs.tsx";
import { WayToReady } from "./way-to-ready.tsx";

export const metadata = { title: "Models" };

export default async function ModelsPage() {
  await Promise.all([prefetch(trpc.models.list.queryOptions()), prefetch(trpc.models.gaps.queryOptions())]);
  return (
    <Prefetched>
      <PageHead title="Models" lead="What the makers ask for. Limits come from their manuals, entered and accepted here by a technician; without them nothing is judged, and not judged is never a pass." />
      <ModelsTabs />
      <WayToReady />
      <ManualGaps />
      <ModelsList />
      <AddModel />
    </Prefetched>
  );
}
