"use client";
import { useMutation } from "@tanstack/react-query";
import { useEffect } from "react";
import { useTRPC } from "../trpc/client.ts";

/** Told at most once in this time; well under the shortest idle limit. */
const OFTEN_ENOUGH_MS = 60_000;

/** Tells the server that somebody touches this screen. What the screen asks by itself keeps nobody signed in. */
export function useStillHere(): void {
  const trpc = useTRPC();
  const { mutate } = useMutation(trpc.session.stillHere.mutationOptions());
  useEffect(() => {
    let told = 0;
    const tell = () => {
      if (Date.now() - told < OFTEN_ENOUGH_MS) return;
      told = Date.now();
      mutate();
    };
    window.addEventListener("pointerdown", tell);
    window.addEventListener("keydown", tell);
    return () => {
      window.removeEventListener("pointerdown", tell);
      window.removeEventListener("keydown", tell);
    };
  }, [mutate]);
}
