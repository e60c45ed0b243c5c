"use client";
import type { ComponentProps, MouseEvent, ReactNode } from "react";
import { Link } from "./link.tsx";

export type ButtonTone = "primary" | "plain" | "danger" | "quiet";
/** Heights: plain 52 px, desk 76 px, wash 116 px (for gloved hands). */
export type ButtonSize = "plain" | "desk" | "wash";

type Look = { tone?: ButtonTone; size?: ButtonSize };

type ButtonProps = Omit<ComponentProps<"button">, "disabled"> &
  Look & {
    /** The act is on its way: the button stays focusable, says so, and takes no second press. */
    pending?: boolean;
    /** What stands on it while pending. */
    pendingWords?: string;
    /** Why it cannot be pressed now; shown as its description. Null or absent: it can. */
    refusedBecause?: string | null;
  };

/**
 * A button. One that cannot be pressed keeps its focus and gives its reason: a
 * disabled element would drop the focus of whoever works by keyboard.
 */
export function Button({ tone = "plain", size = "plain", pending = false, pendingWords = "One moment…", refusedBecause = null, type = "button", children, onClick, ...rest }: ButtonProps) {
  const blocked = pending || refusedBecause !== null;
  const press = (event: MouseEvent<HTMLButtonElement>) => {
    if (blocked) event.preventDefault();
    else onClick?.(event);
  };
  return (
    <button {...rest} type={type} className={`button ${rest.className ?? ""}`} data-tone={tone} data-size={size} aria-disabled={blocked || undefined} aria-description={refusedBecause ?? undefined} title={refusedBecause ?? undefined} onClick={press}>
      {pending ? pendingWords : children}
    </button>
  );
}

/** A link that goes to another screen and looks like a button. */
export function ButtonLink({ href, tone = "plain", size = "plain", current = false, children }: Look & { href: string; current?: boolean; children: ReactNode }) {
  return (
    <Link href={href} className="button" data-tone={tone} data-size={size} aria-current={current ? "page" : undefined}>
      {children}
    </Link>
  );
}
