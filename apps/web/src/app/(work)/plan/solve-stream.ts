"use client";
import type { SolveEvent } from "@hangrail/api/plan-view";
import type { AppRouter } from "@hangrail/api/router";
import { createTRPCClient, httpBatchStreamLink } from "@trpc/client";
import type { Inputs } from "../../../trpc/types.ts";

export type SolveInput = Inputs["plan"]["solve"];

/**
 * Has a plan worked out and hears of it as it goes. The way of streaming is loaded with this screen
 * only: the desk needs none of it. Ends the search when `signal` is aborted; what was found by then is lost.
 *
 * Errors: rejects as any call does.
 */
export async function solveStream(input: SolveInput, signal: AbortSignal, hear: (event: SolveEvent) => void): Promise<void> {
  const client = createTRPCClient<AppRouter>({ links: [httpBatchStreamLink({ url: "/api/trpc", maxItems: 1 })] });
  const events = await client.plan.solve.mutate(input, { signal });
  for await (const event of events) hear(event);
}
