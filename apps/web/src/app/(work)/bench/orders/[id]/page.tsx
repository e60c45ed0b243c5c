import { prefetch, Prefetched, trpc } from "../../../../../trpc/server.tsx";
import { WorkOrder } from "./work-order.tsx";

export const metadata = { title: "Work order" };

type Params = Promise<{ id: string }>;

export default async function WorkOrderPage({ params }: { params: Params }) {
  const { id } = await params;
  await prefetch(trpc.workOrders.one.queryOptions({ orderId: id }));
  return (
    <Prefetched>
      <WorkOrder id={id} />
    </Prefetched>
  );
}
