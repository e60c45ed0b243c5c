"use client";
import { usePathname } from "next/navigation";
import { ButtonLink } from "../../../components/button.tsx";

const tabs = [
  { href: "/desk", name: "Hand out" },
  { href: "/desk/back", name: "Take back" },
] as const;

export function DeskTabs() {
  const path = usePathname();
  return (
    <nav aria-label="Desk" className="screen-only">
      <ul className="flex flex-wrap gap-4">
        {tabs.map(({ href, name }) => (
          <li key={href} aria-current={path === href ? "page" : undefined}>
            <ButtonLink href={href} tone={path === href ? "primary" : "plain"}>
              {name}
            </ButtonLink>
          </li>
        ))}
      </ul>
    </nav>
  );
}
