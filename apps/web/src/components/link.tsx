"use client";
import { useRouter } from "next/navigation";
import type { ComponentProps, MouseEvent } from "react";

type LinkProps = Omit<ComponentProps<"a">, "href"> & { href: string };

/**
 * A link to another screen. The frame stays and only the screen changes; opened in a
 * new tab, or before the script is there, it is a plain link. Nothing is fetched ahead:
 * a screen shows what is true when it is opened. Smaller than the framework's own link,
 * because the desk's tablet loads every byte.
 */
export function Link({ href, onClick, children, ...rest }: LinkProps) {
  const router = useRouter();
  const follow = (event: MouseEvent<HTMLAnchorElement>) => {
    onClick?.(event);
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    if (rest.target !== undefined || rest.download !== undefined) return;
    event.preventDefault();
    router.push(href);
  };
  return (
    <a {...rest} href={href} onClick={follow}>
      {children}
    </a>
  );
}
