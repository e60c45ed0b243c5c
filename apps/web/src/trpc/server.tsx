import "server-only";
import { createContext } from "@hangrail/api/context";
import { appRouter } from "@hangrail/api/router";
import { dehydrate, HydrationBoundary, type FetchQueryOptions, type QueryKey } from "@tanstack/react-query";
import { createTRPCOptionsProxy } from "@trpc/tanstack-react-query";
import { headers } from "next/headers";
import { cache, type ReactNode } from "react";
import { makeQueryClient } from "./query-client.ts";
import type { WhoAmI } from "./types.ts";

/**
 * The context of the page being rendered: the same cookies, so the same person and
 * site, as a call from the browser would have. A page cannot set cookies while it
 * renders; what `resHeaders` collects is dropped.
 */
const contextHere = cache(async () => {
  const request = new Request("http://page.internal/", { headers: new Headers(await headers()) });
  return createContext({ req: request, resHeaders: new Headers() });
});

const queryClientHere = cache(makeQueryClient);

/** Typed query options for server components: `await prefetch(trpc.sets.page.queryOptions(…))`. */
export const trpc = createTRPCOptionsProxy({ ctx: contextHere, router: appRouter, queryClient: queryClientHere });

/** Calls procedures in this process, with every check a call from outside gets. */
export const caller = appRouter.createCaller(contextHere);

/** Who is signed in, asked once per page. */
export const whoAmI: () => Promise<WhoAmI> = cache(() => caller.session.whoAmI());

/**
 * Reads what a client component of this page will ask for. Awaited before the page is
 * sent, so that the first picture already has it; a read that fails is left to the
 * browser to ask again and to tell of.
 */
export function prefetch<TFound, TError, TData, TKey extends QueryKey>(query: FetchQueryOptions<TFound, TError, TData, TKey>): Promise<void> {
  return queryClientHere().prefetchQuery(query);
}

/** Hands what `prefetch` read to the client components inside, which then need not ask again. */
export function Prefetched({ children }: { children: ReactNode }) {
  return <HydrationBoundary state={dehydrate(queryClientHere())}>{children}</HydrationBoundary>;
}
