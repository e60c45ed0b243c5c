"use client";
import { PageTabs } from "../../../components/page-tabs.tsx";
import { useHasRole } from "../../../components/who.tsx";

const tabs = [
  { href: "/centre", name: "People", manager: true },
  { href: "/centre/devices", name: "Devices", manager: true },
  { href: "/centre/settings", name: "Settings", manager: false },
  { href: "/centre/faults", name: "Fault list", manager: false },
  { href: "/centre/my-secret", name: "My PIN and password", manager: false },
] as const;

export function CentreTabs() {
  const isManager = useHasRole("manager");
  return <PageTabs label="Centre" tabs={tabs.filter((tab) => isManager || !tab.manager)} className="mb-6" />;
}
