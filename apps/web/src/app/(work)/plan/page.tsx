import { redirect } from "next/navigation";
import { PageHead } from "../../../components/page-head.tsx";
import { whoAmI } from "../../../trpc/server.tsx";
import { PlanScreen } from "./plan-screen.tsx";
import { PlanTabs } from "./plan-tabs.tsx";

export const metadata = { title: "Plan" };

export default async function PlanPage() {
  const { staff } = await whoAmI();
  // The desk books; planning is not its job.
  if (staff?.roles.some((role) => role === "technician" || role === "manager") !== true) redirect("/plan/bookings");
  return (
    <>
      <PageHead title="Plan" lead="Which sets go to the bench in which week, so that every booking has a set and nothing is hired past its due day." />
      <PlanTabs />
      <PlanScreen />
    </>
  );
}
