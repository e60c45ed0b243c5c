"use client";
import Link from "next/link";
import { usePathname } from "next/navigation";

const tabs = [
  { href: "/sets", name: "Every set" },
  { href: "/sets/out-of-service", name: "Out of service" },
];

/** The two ways to look at the fleet. */
export function SetsTabs() {
  const path = usePathname();
  return (
    <nav aria-label="Views of the sets" className="screen-only mb-6">
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
