"use client";
import { useQueryClient } from "@tanstack/react-query";

/** Has everything on screen read again after an act, without waiting for the live stream to say so. */
export function useReadAgain(): () => Promise<void> {
  const queryClient = useQueryClient();
  return () => queryClient.invalidateQueries();
}
