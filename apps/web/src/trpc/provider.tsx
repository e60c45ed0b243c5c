"use client";
import { QueryClientProvider, type QueryClient } from "@tanstack/react-query";
import { useState, type ReactNode } from "react";
import { makeTRPCClient, TRPCProvider } from "./client.ts";
import { makeQueryClient } from "./query-client.ts";

let browserClient: QueryClient | undefined;

/** One cache for the life of the tab; a new one per request on the server, so that no two people share it. */
function queryClientHere(): QueryClient {
  if (typeof window === "undefined") return makeQueryClient();
  browserClient ??= makeQueryClient();
  return browserClient;
}

/** Gives every screen below it the cache and the typed client. */
export function ServerState({ children }: { children: ReactNode }) {
  const queryClient = queryClientHere();
  const [trpcClient] = useState(makeTRPCClient);
  return (
    <QueryClientProvider client={queryClient}>
      <TRPCProvider trpcClient={trpcClient} queryClient={queryClient}>
        {children}
      </TRPCProvider>
    </QueryClientProvider>
  );
}
