"use client";
import { usePathname } from "next/navigation";
import { ButtonLink } from "./button.tsx";

/** The pages of one job, as buttons above its heading. The one that is open is marked by tone and for screen readers. */
export function PageTabs({ label, tabs, className = "" }: { label: string; tabs: readonly { readonly href: string; readonly name: string }[]; className?: string }) {
  const path = usePathname();
  return (
    <nav aria-label={label} className={`screen-only ${className}`}>
      <ul className="flex flex-wrap gap-4">
        {tabs.map(({ href, name }) => (
          <li key={href}>
            <ButtonLink href={href} tone={path === href ? "primary" : "plain"} current={path === href}>
              {name}
            </ButtonLink>
          </li>
        ))}
      </ul>
    </nav>
  );
}
