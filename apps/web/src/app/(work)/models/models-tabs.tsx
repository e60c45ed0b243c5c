"use client";
import Link from "next/link";
import { usePathname } from "next/navigation";

const tabs = [
  { href: "/models", name: "Models and limits" },
  { href: "/models/pairings", name: "Pairings" },
];

export function ModelsTabs() {
  const path = usePathname();
  return (
    <nav aria-label="Models" className="screen-only mb-6">
      <ul className="flex flex-wrap gap-4">
        {tabs.map(({ href, name }) => (
          <li key={href}>
            <Link href={href} prefetch={false} aria-current={path === href ? "page" : undefined} className="button" data-tone={path === href ? "primary" : "plain"}>
              {name}
            </Link>
          </li>
        ))}
      </ul>
    </nav>
  );
}
