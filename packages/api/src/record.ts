/** The record as evidence: verified, signed, put right by further entries, and written out. */
import { correctEntry, readNewestCheckpoints } from "@hangrail/db/checkpoints";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { asFile, fingerprintOf, makeCheckpoint } from "./checkpoints.ts";
import type { Context } from "./context.ts";
import { evidenceBundle } from "./evidence-bundle.ts";
import { id, tag, whole, words } from "./inputs.ts";
import { procedureFor, requestId, router } from "./trpc.ts";
import { verifyRecord, type RecordReport } from "./verify-record.ts";
import { zipOf } from "./zip.ts";

const SHOWN = 30;

/** Verifications under way, by site: who asks meanwhile gets the same answer. */
const underWay = new Map<string, Promise<RecordReport>>();

export const record = router({
  /** Walks every chain of this site, every checkpoint and every fact. Changes nothing. */
  verify: procedureFor("manager").query(async ({ ctx }) => {
    const running = underWay.get(ctx.site.id) ?? verifyRecord(ctx.db, { site: ctx.site.id, key: ctx.room.checkpointKey });
    underWay.set(ctx.site.id, running);
    try {
      const report = await running;
      // A checkpoint covers all sites; which set of another site it is about is not told here.
      const problems = report.checkpoints.problems.map(({ number, why, of, seq }) => ({ number, why, of, seq: of === null ? null : (seq ?? null) }));
      return { ...report, checkpoints: { ...report.checkpoints, problems } };
    } finally {
      underWay.delete(ctx.site.id);
    }
  }),

  /** The newest checkpoints, each with what is given out of it. */
  checkpoints: procedureFor("manager").query(async ({ ctx }) => ({
    key: ctx.room.checkpointKey?.publicKey.slice(0, 16) ?? null,
    newest: (await readNewestCheckpoints(ctx.db, SHOWN)).map((one) => ({ number: one.number, at: one.at, chains: one.chains, entries: one.entries, madeBy: one.madeBy, fingerprint: fingerprintOf(one), file: asFile(one) })),
  })),

  /** Signs the record as it stands. */
  makeCheckpoint: procedureFor("manager")
    .input(z.strictObject({ requestId }))
    .mutation(({ ctx, input }) => {
      if (ctx.room.checkpointKey === null) throw new TRPCError({ code: "PRECONDITION_FAILED", message: "This server has no key to sign with. Whoever looks after it sets HANGRAIL_CHECKPOINT_KEY." });
      return makeCheckpoint(ctx.db, ctx.room.checkpointKey, ctx.who(input.requestId));
    }),

  /** Says of an earlier entry what was wrong with it. The entry stays as it is, and no fact moves. */
  correct: procedureFor("technician", "manager")
    .input(z.strictObject({ requestId, setId: id, entry: whole("Entry", 1, 1_000_000), words: words(600, 1) }))
    .mutation(({ ctx, input }) => correctEntry(ctx.db, ctx.who(input.requestId), input.setId, input.entry, input.words)),
});

/** A set's evidence bundle as one file, for a manager of its site; null for everybody else, as for a set there is not. */
export async function bundleFor({ session, room }: Pick<Context, "session" | "room">, wanted: string): Promise<{ readonly fileName: string; readonly bytes: Buffer } | null> {
  const named = tag.safeParse(wanted);
  if (session === null || !session.staff.roles.includes("manager") || !named.success) return null;
  const files = await evidenceBundle(room.db, { site: session.site.id, tag: named.data, by: session.staff.name, at: new Date(), key: room.checkpointKey });
  return files === null ? null : { fileName: `evidence-${named.data}.zip`, bytes: zipOf(files) };
}
