/** What broke, as the transport tells it: the words for a database that is away, busy or full, and for an act somebody may not do. */
import { BadAct, DatabaseBusy, DiskFull, namedError, NotEntitled } from "@hangrail/db/acts";
import { TRPCError } from "@trpc/server";

/** The error to tell the caller; null for what is nobody's business but the log's. `acting`: something may have been recorded. */
export function transportError(error: unknown, acting: boolean): TRPCError | null {
  const cause = namedError(error);
  if (cause instanceof NotEntitled) return new TRPCError({ code: "FORBIDDEN", message: `${cause.message}.` });
  if (cause instanceof BadAct) return new TRPCError({ code: "BAD_REQUEST", message: `${cause.message}.` });
  if (cause instanceof DiskFull) {
    return new TRPCError({ code: "SERVICE_UNAVAILABLE", message: "The server's disk is full. Nothing was done, and nothing can be recorded until somebody frees some space there." });
  }
  if (cause instanceof DatabaseBusy) {
    // An answer may be lost on its way back: to promise that nothing was done would be wrong then.
    const unknown = acting ? " It is not known whether this was recorded." : "";
    return new TRPCError({ code: "SERVICE_UNAVAILABLE", message: `The database did not answer in time.${unknown} Please try again.` });
  }
  return null;
}
