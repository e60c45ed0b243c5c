import type { Change } from "@hangrail/db/live";
import { isSessionLive } from "@hangrail/db/sessions";
import { tracked } from "@trpc/server";
import { procedureFor, router } from "./trpc.ts";

/** Past this many open screens of one person something is wrong with the screens. */
const MOST_STREAMS = 20;
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
      let lookedAt = performance.now();
      while (!signal?.aborted) {
        // A session ended elsewhere (signed out, role withdrawn, device revoked) hears nothing more, however busy the site is.
        const rest = ctx.room.recheckMs - (performance.now() - lookedAt);
        if (rest <= 0) {
          if (!(await isSessionLive(ctx.db, ctx.session.id)) || signal?.aborted) return;
          lookedAt = performance.now();
        }
        const change = waiting.shift();
        if (change !== undefined) {
          number += 1;
          yield tracked(String(number), { act: change === null ? "caught-up" : change.act });
          continue;
        }
        await new Promise<void>((resolve) => {
          const timer = setTimeout(resolve, Math.max(rest, 0));
          wake = () => {
            clearTimeout(timer);
            resolve();
          };
        });
      }
    } finally {
      stop();
      streams.set(person, (streams.get(person) ?? 1) - 1);
    }
  }),
});
