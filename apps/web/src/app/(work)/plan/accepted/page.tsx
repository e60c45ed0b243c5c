import { PageHead } from "../../../../components/page-head.tsx";
import { PrintButton } from "../../../../components/print-button.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { AcceptedView } from "./accepted-view.tsx";

export const metadata = { title: "Accepted plan" };

export default function AcceptedPage() {
  return (
    <>
      <PageHead title="Accepted plan" lead="Which sets go to the bench in which week, as it was accepted last.">
        <PrintButton />
      </PageHead>
      <PlanTabs />
      <AcceptedView />
    </>
  );
}
