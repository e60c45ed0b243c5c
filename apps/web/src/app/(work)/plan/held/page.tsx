import { PageHead } from "../../../../components/page-head.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { Held } from "./held.tsx";

export const metadata = { title: "Did the forecasts hold?" };

export default function HeldPage() {
  return (
    <>
      <PageHead title="Did the forecasts hold?" lead="Today's way of forecasting when dives run out, asked of days gone by and marked by what came." />
      <PlanTabs />
      <Held />
    </>
  );
}
