/**
 * The search for a plan over plain HTTP: JSON, an event a line. It is the procedure plan.solve, with its
 * input, its rights and its errors; only its answer is sent in pieces, in a form that asks for no library
 * in the browser, where the desk would carry its weight.
 */
import { TRPCError } from "@trpc/server";
import { getHTTPStatusCodeFromError } from "@trpc/server/http";
import type { Context } from "./context.ts";
import type { SolveEvent } from "./plan-view.ts";
import { appRouter } from "./router.ts";
import { callerFactory, toldError } from "./trpc.ts";

const PATH = "plan.solve";
const caller = callerFactory(appRouter);

/** What goes over the wire: the events of a search, or the sentence for what broke on the way. */
export type SolveLine = SolveEvent | { readonly event: "failed"; readonly message: string };

export type SolveStream =
  | { readonly answer: "events"; readonly lines: ReadableStream<Uint8Array> }
  /** Nothing was begun. */
  | { readonly answer: "refused"; readonly status: number; readonly message: string };

/** Begins a search on a body as it came. It stops when the stream is cancelled or `signal` is aborted. */
export async function solveStream(contextOf: () => Promise<Context>, body: string, signal: AbortSignal): Promise<SolveStream> {
  // A generator that waits for its next word returns only after it: the signal makes it come.
  const stop = new AbortController();
  let events: AsyncGenerator<SolveEvent, void>;
  try {
    const solving = caller(await contextOf(), { signal: AbortSignal.any([signal, stop.signal]) }).plan.solve;
    events = await solving(readJson(body) as Parameters<typeof solving>[0]);
  } catch (error) {
    const known = asKnown(error);
    return { answer: "refused", status: getHTTPStatusCodeFromError(known), message: toldError(known, PATH).message };
  }
  const text = new TextEncoder();
  const line = (said: SolveLine) => text.encode(`${JSON.stringify(said)}\n`);
  return {
    answer: "events",
    lines: new ReadableStream({
      async pull(controller) {
        try {
          const { done, value } = await events.next();
          if (stop.signal.aborted) return;
          if (done === true) controller.close();
          else controller.enqueue(line(value));
        } catch (error) {
          if (stop.signal.aborted) return;
          controller.enqueue(line({ event: "failed", message: toldError(asKnown(error), PATH).message }));
          controller.close();
        }
      },
      async cancel() {
        stop.abort();
        await events.return();
      },
    }),
  };
}

function readJson(body: string): unknown {
  try {
    return JSON.parse(body);
  } catch {
    throw new TRPCError({ code: "BAD_REQUEST", message: "What was sent is no JSON." });
  }
}

const asKnown = (error: unknown): TRPCError => (error instanceof TRPCError ? error : new TRPCError({ code: "INTERNAL_SERVER_ERROR", cause: error }));
