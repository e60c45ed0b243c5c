"use client";
import { usePathname, useSearchParams } from "next/navigation";
import { ButtonLink } from "../../../components/button.tsx";

const tabs = [
  { href: "/trends", name: "Which models" },
  { href: "/trends/months", name: "Month by month" },
  { href: "/trends/after-service", name: "After service" },
  { href: "/trends/codes", name: "Which faults" },
  { href: "/trends/costs", name: "Costs" },
];

/** The pages of trends; the question asked on one is asked on the next. */
export function TrendsTabs() {
  const path = usePathname();
  const query = useSearchParams().toString();
  return (
    <nav aria-label="Trends" className="screen-only mb-6">
      <ul className="flex flex-wrap gap-4">
        {tabs.map(({ href, name }) => (
          <li key={href}>
            <ButtonLink href={query === "" ? href : `${href}?${query}`} tone={path === href ? "primary" : "plain"} current={path === href}>
              {name}
            </ButtonLink>
          </li>
        ))}
      </ul>
    </nav>
  );
}
