import { PageHead } from "../../../../components/page-head.tsx";
import { PrintButton } from "../../../../components/print-button.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { OrderList } from "./order-list.tsx";

export const metadata = { title: "Kits to order" };

export default function OrderListPage() {
  return (
    <>
      <PageHead title="Kits to order" lead="What the accepted plan uses beyond what lies on the shelf and is on its way, by when it must be here and by when to order.">
        <PrintButton />
      </PageHead>
      <PlanTabs />
      <OrderList />
    </>
  );
}
