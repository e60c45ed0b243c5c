"use client";
import { useSuspenseQuery } from "@tanstack/react-query";
import { usePathname, useSearchParams } from "next/navigation";
import { useTRPC } from "../../../trpc/client.ts";
import { addressOf, readAbout, readBy, type About, type By } from "./filter.ts";

/** The question as it stands in the address, what can be asked, and a way to ask another. */
export function useAbout() {
  const trpc = useTRPC();
  const params = useSearchParams();
  const path = usePathname();
  const { data: choices } = useSuspenseQuery(trpc.trends.choices.queryOptions());
  const about = readAbout(new URLSearchParams(params), choices.today);
  const by = readBy(new URLSearchParams(params));
  const ask = (next: Partial<About>, nextBy: By = by) => window.history.pushState(null, "", addressOf(path, { ...about, ...next }, nextBy));
  return { about, by, choices, ask };
}
