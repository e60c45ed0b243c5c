import * as acts from "@hangrail/db/bench-acts";
import type { Database } from "@hangrail/db/database";
import { readPhoto, readTuning, type Photo } from "@hangrail/db/faults";
import { severityInForce, tunableTo } from "@hangrail/rules/fault-severity";
import { faultOf, FAULTS, type FaultCode } from "@hangrail/rules/faults";
import type { Severity } from "@hangrail/rules/hand-out";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import type { Context } from "./context.ts";
import { faultCode, id, words } from "./inputs.ts";
import { newRequest, procedureFor, requestId, router } from "./trpc.ts";

/** Screens scale a photograph down before they send it; what is larger is no photograph of a regulator. */
export const MOST_PHOTO_BYTES = 2_000_000;
const MOST_BASE64 = Math.ceil(MOST_PHOTO_BYTES / 3) * 4;

/** Faults: how seriously a site takes them, what the technician found, and photographs. */
export const faults = router({
  /** Every line of the list with the severity it has at this site, and what it may be given. */
  severities: procedureFor().query(async ({ ctx }) => {
    const rows = await readTuning(ctx.db, ctx.site.id);
    const tuned = new Map(rows.map(({ code, severity }) => [code, severity]));
    return FAULTS.map(({ code }) => {
      const severity = severityInForce(code, tuned);
      const own = rows.find((row) => row.code === code && row.severity === severity) ?? null;
      return { code, severity, listed: faultOf(code).severity, may: tunableTo(code), setBy: own?.setBy ?? null, setAt: own?.setAt ?? null };
    });
  }),

  /** The site's own severity for a line, for faults reported from now on. Never below what the list says for "out". */
  tune: procedureFor("manager")
    .input(z.strictObject({ code: faultCode, severity: z.enum(["out", "hold", "watch"]) }))
    .mutation(({ ctx, input }) => {
      if (!tunableTo(input.code).includes(input.severity)) {
        throw new TRPCError({ code: "BAD_REQUEST", message: `${input.code} tags a set out by the list, and a site may not take it more lightly.` });
      }
      return acts.tuneFault(ctx.db, ctx.who(newRequest()), input.code, input.severity);
    }),

  /** What the technician found; it may be another fault of another component than was reported. */
  confirm: procedureFor("technician")
    .input(z.strictObject({ requestId, faultId: id, code: faultCode, component: id.nullable(), words: words(1000) }))
    .mutation(({ ctx, input: { requestId: request, faultId, ...found } }) => acts.confirmFault(ctx.db, ctx.who(request), faultId, found)),

  /** A photograph to a fault. It touches nothing, so everybody may add one. */
  addPhoto: procedureFor()
    .input(z.strictObject({ requestId, faultId: id, base64: z.base64("The photograph did not arrive whole. Send it again.").max(MOST_BASE64, "The photograph is larger than 2 MB.") }))
    .mutation(({ ctx, input }) => {
      const bytes = Buffer.from(input.base64, "base64");
      const mediaType = mediaTypeOf(bytes);
      if (mediaType === null || bytes.length > MOST_PHOTO_BYTES) {
        throw new TRPCError({ code: "BAD_REQUEST", message: "A photograph is a JPEG, PNG or WebP picture of at most 2 MB." });
      }
      return acts.addPhoto(ctx.db, ctx.who(input.requestId), input.faultId, mediaType, bytes);
    }),
});

/** The severity a fault opens with at this site. */
export async function severityAt(db: Database, site: string, code: FaultCode): Promise<Severity> {
  const rows = await readTuning(db, site);
  return severityInForce(code, new Map(rows.map((row) => [row.code, row.severity])));
}

/** What a file is, told by its first bytes and never by what its sender calls it; null = no picture that browsers show. */
export function mediaTypeOf(bytes: Buffer): Photo["mediaType"] | null {
  const begins = (text: string, at = 0): boolean => bytes.subarray(at, at + text.length).toString("latin1") === text;
  if (begins("\xff\xd8\xff")) return "image/jpeg";
  if (begins("\x89PNG\r\n\x1a\n")) return "image/png";
  return begins("RIFF") && begins("WEBP", 8) ? "image/webp" : null;
}

/** A photograph for whoever is signed in at the site of its set; null for everybody else, and when there is none. */
export async function photoFor({ session, room }: Pick<Context, "session" | "room">, photo: string): Promise<Photo | null> {
  if (session === null || !id.safeParse(photo).success) return null;
  return readPhoto(room.db, session.site.id, photo);
}
