"use client";
import { usePathname } from "next/navigation";
import { Link } from "../../../components/link.tsx";
import { useHasRole } from "../../../components/who.tsx";

const tabs = [
  { href: "/centre", name: "People", manager: true },
  { href: "/centre/devices", name: "Devices", manager: true },
  { href: "/centre/settings", name: "Settings", manager: false },
  { href: "/centre/my-secret", name: "My PIN and password", manager: false },
] as const;

export function CentreTabs() {
  const path = usePathname();
  const isManager = useHasRole("manager");
  return (
    <nav aria-label="Centre" className="screen-only mb-6">
      <ul className="flex flex-wrap gap-4">
        {tabs
          .filter((tab) => isManager || !tab.manager)
          .map((tab) => (
            <li key={tab.href}>
              <Link href={tab.href} className="button" data-tone={path === tab.href ? "primary" : "plain"} aria-current={path === tab.href ? "page" : undefined}>
                {tab.name}
              </Link>
            </li>
          ))}
      </ul>
    </nav>
  );
}
