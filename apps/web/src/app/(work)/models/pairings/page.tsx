import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { ModelsTabs } from "../models-tabs.tsx";
import { WayToReady } from "../way-to-ready.tsx";
import { Pairings } from "./pairings.tsx";

export const metadata = { title: "Pairings" };

export default async function PairingsPage() {
  await Promise.all([prefetch(trpc.models.pairings.queryOptions()), prefetch(trpc.models.list.queryOptions())]);
  return (
    <Prefetched>
      <PageHead title="Pairings" lead="Which second stage its maker approves on which first stage. A set with a pair that is not approved stays here." />
      <ModelsTabs />
      <WayToReady />
      <Pairings />
    </Prefetched>
  );
}
