"use client";
import { useMutation } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { useState } from "react";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { newRequestId } from "../../../components/use-request-id.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { QueueItem } from "./queue.tsx";

/**
 * Takes what waits to the bench: opens its order where there is none yet, takes it, and goes to its page.
 * Two acts, each recorded once under a number of its own, so that a press again after a lost answer repeats neither.
 */
export function useToTheBench(item: QueueItem) {
  const trpc = useTRPC();
  const router = useRouter();
  const afterAct = useAfterAct();
  const [requests] = useState(() => ({ open: newRequestId(), take: newRequestId() }));
  const open = useMutation(trpc.workOrders.open.mutationOptions());
  const take = useMutation(trpc.workOrders.take.mutationOptions());

  const go = async () => {
    const { kind, set, fault, notice } = item;
    let orderId = item.order?.id;
    if (orderId === undefined) {
      const opened = await open.mutateAsync({ requestId: requests.open, setId: set.setId, kind, fault: fault?.id ?? null, notice: notice?.notice ?? null, words: "" });
      if (opened.answer !== "done") return;
      orderId = opened.order;
    }
    const taken = await take.mutateAsync({ requestId: requests.take, orderId });
    await afterAct(taken, () => router.push(`/bench/orders/${orderId}`));
  };
  const failed = take.error !== null || take.data?.answer === "refused" ? take : open;
  return {
    /** Says what became of it by `state`; a failure is no rejection. */
    toTheBench: () => void go().catch(() => undefined),
    state: { isPending: open.isPending || take.isPending, error: failed.error, data: failed.data },
  };
}
