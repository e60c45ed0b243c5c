import { PageHead } from "../../../../components/page-head.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { Calendars } from "./calendars.tsx";

export const metadata = { title: "Plan in a calendar" };

export default function CalendarPage() {
  return (
    <>
      <PageHead title="In a calendar" lead="An address from which a calendar program reads the accepted plan and keeps up with it." />
      <PlanTabs />
      <Calendars />
    </>
  );
}
