import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { Bench } from "./bench.tsx";

export const metadata = { title: "Bench" };

export default async function BenchPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) {
    await Promise.all([prefetch(trpc.workOrders.queue.queryOptions()), prefetch(trpc.bench.queue.queryOptions()), prefetch(trpc.bench.toRelease.queryOptions()), prefetch(trpc.sets.outOfService.queryOptions()), prefetch(trpc.models.list.queryOptions())]);
  }
  return (
    <Prefetched>
      <Bench />
    </Prefetched>
  );
}
