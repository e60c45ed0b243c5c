import { PageHead } from "../../../../components/page-head.tsx";
import { PlanTabs } from "../plan-tabs.tsx";
import { Bookings } from "./bookings.tsx";

export const metadata = { title: "Bookings" };

export default function BookingsPage() {
  return (
    <>
      <PageHead title="Bookings" lead="How many sets of a kind are asked for on which days. No hirer's name is kept here." />
      <PlanTabs />
      <Bookings />
    </>
  );
}
