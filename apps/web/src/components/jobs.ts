import type { StaffRole } from "../words.ts";
import type { IconName } from "./icon.tsx";

export type Job = { href: string; name: string; icon: IconName; roles: readonly StaffRole[] | "everybody" };

/**
 * The screens, in the order of a day. A screen left out here for a role is only out of
 * the way: what a role may see and do is decided by the procedures.
 */
export const jobs: readonly Job[] = [
  { href: "/today", name: "Today", icon: "sun", roles: "everybody" },
  { href: "/desk", name: "Desk", icon: "desk", roles: ["desk", "manager"] },
  { href: "/wash-room", name: "Wash room", icon: "drop", roles: ["wash-room", "technician", "manager"] },
  { href: "/bench", name: "Bench", icon: "spanner", roles: ["technician", "manager"] },
  { href: "/sets", name: "Sets", icon: "loop", roles: "everybody" },
  { href: "/plan", name: "Plan", icon: "weeks", roles: ["desk", "technician", "manager"] },
  { href: "/models", name: "Models", icon: "book", roles: ["technician", "manager"] },
  { href: "/kits", name: "Kits", icon: "box", roles: ["technician", "manager"] },
  { href: "/notices", name: "Notices", icon: "triangle", roles: ["technician", "manager"] },
  { href: "/trends", name: "Trends", icon: "chart", roles: ["technician", "manager"] },
  { href: "/record", name: "Record", icon: "lock", roles: ["manager"] },
  { href: "/fleet", name: "Fleet in/out", icon: "swap", roles: ["technician", "manager"] },
  { href: "/centre", name: "Centre", icon: "house", roles: "everybody" },
];

/** The screens that belong to any of these roles. */
export function jobsOf(roles: readonly StaffRole[]): readonly Job[] {
  return jobs.filter((job) => job.roles === "everybody" || job.roles.some((role) => roles.includes(role)));
}
