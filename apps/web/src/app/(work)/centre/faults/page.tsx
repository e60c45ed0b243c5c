import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { Severities } from "./severities.tsx";

export const metadata = { title: "Fault list" };

export default async function FaultListPage() {
  await prefetch(trpc.faults.severities.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Fault list" lead="How seriously this site takes each fault that is reported from now on. A line may always be taken more seriously; what tags a set out is never taken more lightly." />
      <Severities />
    </Prefetched>
  );
}
