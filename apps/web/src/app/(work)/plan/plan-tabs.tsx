"use client";
import { PageTabs } from "../../../components/page-tabs.tsx";
import { useWho } from "../../../components/who.tsx";
import type { StaffRole } from "../../../words.ts";

const planners: readonly StaffRole[] = ["technician", "manager"];
const tabs = [
  { href: "/plan", name: "Plan", roles: planners },
  { href: "/plan/accepted", name: "Accepted", roles: planners },
  { href: "/plan/bookings", name: "Bookings", roles: ["desk", "manager"] },
  { href: "/plan/hours", name: "Hours", roles: planners },
  { href: "/plan/held", name: "Did it hold?", roles: planners },
] as const satisfies readonly { href: string; name: string; roles: readonly StaffRole[] }[];

/** The pages of the plan that belong to whoever is signed in. */
export function PlanTabs() {
  const { staff } = useWho();
  return <PageTabs label="Plan" tabs={tabs.filter(({ roles }) => roles.some((role) => staff.roles.includes(role)))} className="mb-6" />;
}
