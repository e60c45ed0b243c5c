/**
 * One way in: `procedureFor(...roles)`. A procedure that does not say who may call it cannot be built,
 * and a call without a session, or without one of the roles at the session's site, never reaches its handler.
 */
import { randomUUID } from "node:crypto";
import type { Who } from "@hangrail/db/acts";
import { noteSecurity, type StaffRole } from "@hangrail/db/people-acts";
import type { SessionCard } from "@hangrail/db/sessions";
import { initTRPC, TRPCError } from "@trpc/server";
import { z, ZodError } from "zod";
import type { Context } from "./context.ts";
import { log } from "./log.ts";
import { transportError } from "./transport-error.ts";

/** Who may call: everybody, anybody signed in, or the holders of one of these roles. */
export type Access = "anyone" | "signed-in" | readonly StaffRole[];

interface Meta {
  readonly access: Access;
}

/** What the caller is told of an error: its sentence, and those for single fields. What broke stays in the log; the caller gets a number to quote. */
export function toldError(error: TRPCError, path: string | undefined): { readonly message: string; readonly fields: Readonly<Record<string, string>> | null } {
  if (error.cause instanceof ZodError) return { message: sentenceOf(error.cause), fields: fieldsOf(error.cause) };
  if (error.code !== "INTERNAL_SERVER_ERROR") return { message: error.message, fields: null };
  const reference = randomUUID().slice(0, 8);
  log.error({ reference, path, error: String(error.cause ?? error), stack: error.cause?.stack }, "failed");
  return { message: `Something went wrong here (${reference}). Nothing was done.`, fields: null };
}

const t = initTRPC.context<Context>().meta<Meta>().create({
  isDev: false,
  errorFormatter: ({ shape, error }) => {
    const { message, fields } = toldError(error, shape.data.path);
    return { ...shape, message, data: { ...shape.data, fields } };
  },
  sse: { ping: { enabled: true, intervalMs: 10_000 }, client: { reconnectAfterInactivityMs: 25_000 } },
});

export const router = t.router;
export const callerFactory = t.createCallerFactory;

/** A line of the log for every act: what it was, by whom, how it ended and how long it took. */
const logged = t.middleware(async ({ ctx, path, type, next }) => {
  if (type !== "mutation") return next();
  const began = performance.now();
  const result = await next();
  const { staff, site, deviceId } = ctx.session ?? { staff: null, site: null, deviceId: null };
  const ended = result.ok ? answerWord(result.data) : result.error.code;
  log.info({ path, staff: staff?.id, site: site?.id, device: deviceId, ended, ms: Math.round(performance.now() - began) }, "act");
  return result;
});

function answerWord(answer: unknown): string {
  return typeof answer === "object" && answer !== null && "answer" in answer ? String(answer.answer) : "answered";
}

const named = t.middleware(async ({ type, next }) => {
  const result = await next();
  if (result.ok) return result;
  if (result.error.code !== "INTERNAL_SERVER_ERROR") return result;
  const told = transportError(result.error.cause, type === "mutation");
  if (told !== null) throw told;
  return result;
});

const guarded = t.middleware(async ({ ctx, meta, path, type, next }) => {
  const access = meta?.access;
  if (access === undefined) throw new TRPCError({ code: "FORBIDDEN", message: "Nobody may do this." });
  if (access !== "anyone") {
    if (ctx.session === null) throw new TRPCError({ code: "UNAUTHORIZED", message: "Please sign in." });
    if (access !== "signed-in" && !access.some((role) => ctx.session!.staff.roles.includes(role))) {
      await noteSecurity(ctx.room.db, {
        kind: "not-entitled",
        staff: ctx.session.staff.id,
        device: ctx.session.deviceId,
        site: ctx.session.site.id,
        detail: { path },
      });
      throw new TRPCError({ code: "FORBIDDEN", message: `This needs the role ${access.join(" or ")} at ${ctx.session.site.name}.` });
    }
    if (type === "mutation") await ctx.touch();
  }
  return next();
});

/** For anybody at all: the sign-in page. */
export const openProcedure = t.procedure.meta({ access: "anyone" }).use(logged).use(named).use(guarded);

/** For people signed in who hold one of these roles at the session's site; none named = any role. */
export function procedureFor(...roles: StaffRole[]) {
  return t.procedure
    .meta({ access: roles.length === 0 ? "signed-in" : roles })
    .use(logged)
    .use(named)
    .use(guarded)
    .use(({ ctx, next }) => {
      const session: SessionCard = ctx.session!;
      const who = (request: string): Who => ({ staff: session.staff.id, site: session.site.id, device: session.deviceId, request });
      return next({ ctx: { session, site: session.site, db: ctx.room.db, who } });
    });
}

function sentenceOf(error: ZodError): string {
  return error.issues.map((issue) => (issue.path.length > 0 ? `${issue.path.map(String).join(" › ")}: ${issue.message}` : issue.message)).join("; ");
}

function fieldsOf(error: ZodError): Record<string, string> {
  return Object.fromEntries(error.issues.map((issue) => [issue.path.map(String).join("."), issue.message]));
}

/** Carries an id for acts that need no safe repeat of their own. */
export const newRequest = (): string => randomUUID();
export const requestId = z.uuid("A request id is missing; reload the page.");
