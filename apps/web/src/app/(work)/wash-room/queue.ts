"use client";
import { useQuery } from "@tanstack/react-query";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";

export type Queue = Outputs["washRoom"]["queue"];
export type Run = Queue["runs"][number];
export type Bath = Queue["baths"][number];
export type Waiting = Queue["toClean"][number];

/**
 * The wash room as it stands. Asked for afresh by every screen that opens and each
 * minute: the countdowns start from the server's clock in the answer, and a bath
 * expires without anybody doing anything.
 */
export function useQueue() {
  const trpc = useTRPC();
  return useQuery(trpc.washRoom.queue.queryOptions(undefined, { staleTime: 0, refetchInterval: 60_000 }));
}

/** Where a set is in the wash, by its tag. */
export function placeOf(queue: Queue, tag: string): { run: Run | null; waiting: Waiting | null } {
  return {
    run: queue.runs.find((run) => run.sets.some((set) => set.tag === tag)) ?? null,
    waiting: queue.toClean.find((set) => set.tag === tag) ?? null,
  };
}
