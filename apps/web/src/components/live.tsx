"use client";
import { useQueryClient } from "@tanstack/react-query";
import { useSubscription } from "@trpc/tanstack-react-query";
import { useEffect, useRef } from "react";
import { useTRPC } from "../trpc/client.ts";
import { tellConnection, useConnection } from "./connection.ts";
import { Icon } from "./icon.tsx";

/** Several changes of one moment (a party of sets, a wash run) are asked about once. */
const gather = 250;

/**
 * Listens for changes by anybody at this site and has the screen ask again for what it
 * shows. Says in words whether it hears: a silent screen must not pass for a quiet day.
 */
export function Live() {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const waiting = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(waiting.current), []);

  const askAgain = () => {
    clearTimeout(waiting.current);
    waiting.current = setTimeout(() => void queryClient.invalidateQueries(), gather);
  };
  const stream = useSubscription(
    trpc.live.changes.subscriptionOptions(undefined, {
      // Whatever happened while nobody listened is caught up with here.
      onStarted: askAgain,
      onData: askAgain,
    }),
  );
  const hears = stream.status === "pending";
  useEffect(() => tellConnection(hears), [hears]);
  // A stream does not notice at once that the network has gone; the browser does.
  const isLive = useConnection() !== "lost" && hears;

  return (
    <span role="status" className={`inline-flex items-center gap-2 rounded-lg px-2 py-1 font-semibold ${isLive ? "" : "tinted"}`} data-tone={isLive ? undefined : "warn"}>
      <Icon name={isLive ? "tick" : "triangle"} size={20} />
      {isLive ? "Live" : stream.status === "connecting" ? "Connecting…" : "Not connected: what you see may be old"}
    </span>
  );
}
