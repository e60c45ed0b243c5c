"use client";
import { useQueryClient } from "@tanstack/react-query";
import { isRefused } from "../refused.ts";

/**
 * For `onSuccess` of an act: has everything on screen read again, without waiting for
 * the live stream to say so, and then does `next`. A refusal is shown and nothing more.
 */
export function useAfterAct(): (answer: unknown, next?: () => void) => Promise<void> {
  const queryClient = useQueryClient();
  return async (answer, next = () => undefined) => {
    if (isRefused(answer)) return;
    next();
    await queryClient.invalidateQueries();
  };
}
