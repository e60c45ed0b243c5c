import { PageHead } from "../../../../components/page-head.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { Hours } from "./hours.tsx";

export const metadata = { title: "Bench hours" };

export default function HoursPage() {
  return (
    <>
      <PageHead title="Bench hours" lead="How many hours each technician has at the bench: in every week, and in single weeks that differ." />
      <PlanTabs />
      <Hours />
    </>
  );
}
