import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { StoresTabs } from "../kits/stores-tabs.tsx";
import { Gauges } from "./gauges.tsx";

export const metadata = { title: "Test gauges" };

export default async function GaugesPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) await prefetch(trpc.gauges.list.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Test gauges" lead="What the bench measures with. Its class says how far a gauge may be off, its certificate until when that is vouched for; out of date it passes nothing." />
      <StoresTabs />
      <Gauges />
    </Prefetched>
  );
}
