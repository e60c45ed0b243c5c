import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { Kits } from "./kits.tsx";
import { StoresTabs } from "./stores-tabs.tsx";

export const metadata = { title: "Kits" };

export default async function KitsPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) await prefetch(trpc.kits.list.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Kits" lead="What lies on the shelf, what is ordered, and what the services due in the next weeks will take. A service takes its kits off the shelf by itself." />
      <StoresTabs />
      <Kits />
    </Prefetched>
  );
}
