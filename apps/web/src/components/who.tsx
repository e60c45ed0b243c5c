"use client";
import { createContext, use, type ReactNode } from "react";
import type { WhoAmI } from "../trpc/types.ts";
import type { StaffRole } from "../words.ts";

export type SignedIn = WhoAmI & { staff: NonNullable<WhoAmI["staff"]>; site: NonNullable<WhoAmI["site"]> };

const Who = createContext<SignedIn | null>(null);

/** Tells the screens below who is at them and where. */
export function WhoProvider({ who, children }: { who: SignedIn; children: ReactNode }) {
  return <Who value={who}>{children}</Who>;
}

/** Who is signed in, the site with its units and zone, and the site's own day. */
export function useWho(): SignedIn {
  const who = use(Who);
  if (who === null) throw new Error("useWho was called outside the working screens, where nobody is signed in.");
  return who;
}

/** Whether the person has the role: for what to show first. What is allowed, the procedures decide. */
export function useHasRole(role: StaffRole): boolean {
  return useWho().staff.roles.includes(role);
}
