"use client";
import type { AppRouter } from "@hangrail/api/router";
import { createTRPCClient, httpBatchLink, httpLink, httpSubscriptionLink, splitLink } from "@trpc/client";
import { createTRPCContext } from "@trpc/tanstack-react-query";

/** `useTRPC()` gives the typed options for `useQuery`, `useMutation` and `useSubscription`. */
export const { TRPCProvider, useTRPC, useTRPCClient } = createTRPCContext<AppRouter>();

const url = "/api/trpc";

/**
 * Reads may share a request, ten at most, because a browser keeps few connections to
 * one server and the live stream holds one of them. Every act travels alone, so that
 * one refusal or one slow act cannot touch another.
 */
export function makeTRPCClient() {
  return createTRPCClient<AppRouter>({
    links: [
      splitLink({
        condition: (operation) => operation.type === "subscription",
        true: httpSubscriptionLink({ url }),
        false: splitLink({
          condition: (operation) => operation.type === "query",
          true: httpBatchLink({ url, maxItems: 10, maxURLLength: 6_000 }),
          false: httpLink({ url }),
        }),
      }),
    ],
  });
}
