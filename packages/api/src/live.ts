import type { Change } from "@hangrail/db/live";
import { isSessionLive } from "@hangrail/db/sessions";
import { tracked } from "@trpc/server";
import { procedureFor, router } from "./trpc.ts";

/** Past this many open screens of one person something is wrong with the screens. */
const MOST_STREAMS = 20;
const RECHECK_MS = 30_000;
const streams = new Map<string, number>();

/** What an open screen hears: that something changed at its site. It asks for what it shows by itself. */
export const live = router({
  changes: procedureFor().subscription(async function* ({ ctx, signal }) {
    const person = ctx.session.staff.id;
    if ((streams.get(person) ?? 0) >= MOST_STREAMS) return;
    streams.set(person, (streams.get(person) ?? 0) + 1);
    const waiting: (Change | null)[] = [];
    let wake = (): void => undefined;
    const stop = ctx.room.feed.hear(
      (change) => {
        if (change.site !== ctx.site.id) return;
        waiting.push(change);
        wake();
      },
      () => {
        waiting.push(null);
        wake();
      },
    );
    signal?.addEventListener("abort", () => wake(), { once: true });
    try {
      let number = 0;
      while (!signal?.aborted) {
        const change = waiting.shift();
        if (change !== undefined) {
          number += 1;
          yield tracked(String(number), change === null ? { act: "caught-up", sets: [] } : { act: change.act, sets: change.sets });
          continue;
        }
        const stillHere = await new Promise<boolean>((resolve) => {
          const timer = setTimeout(() => resolve(false), RECHECK_MS);
          wake = () => {
            clearTimeout(timer);
            resolve(true);
          };
        });
        // A session ended elsewhere (signed out, role withdrawn, device revoked) hears nothing more.
        if (!stillHere && !(await isSessionLive(ctx.db, ctx.session.id))) return;
      }
    } finally {
      stop();
      streams.set(person, (streams.get(person) ?? 1) - 1);
    }
  }),
});
