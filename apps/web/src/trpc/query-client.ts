import { QueryClient } from "@tanstack/react-query";
import { isTRPCClientError } from "@trpc/client";

/** A fresh cache with our habits: what a screen shows is never taken for the present state of a set. */
export function makeQueryClient(): QueryClient {
  return new QueryClient({
    defaultOptions: {
      queries: {
        // The live stream says when something changed; a screen that comes back to the front asks anyway.
        staleTime: 20_000,
        // A change whose news was lost on the way is seen within a minute all the same.
        refetchInterval: 60_000,
        // A page being made does not wait for a second try; the browser makes it.
        retry: (failures, error) => typeof window !== "undefined" && failures < 2 && !isAnswer(error),
      },
      // An act is repeated by a person, with the same request id, never by the cache.
      mutations: { retry: false },
      dehydrate: {
        // Over the wire an answer is JSON; handed over by the page it must be the same, or an instant would be a Date here and a text there.
        serializeData: (data: unknown) => JSON.parse(JSON.stringify(data ?? null)) as unknown,
      },
    },
  });
}

/** A refusal with a code is an answer: asking again would get the same one. */
function isAnswer(error: unknown): boolean {
  if (!isTRPCClientError(error)) return false;
  const data: unknown = error.data;
  return typeof data === "object" && data !== null && "httpStatus" in data && Number(data.httpStatus) < 500;
}
