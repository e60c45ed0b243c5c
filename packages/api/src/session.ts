import { timingSafeEqual } from "node:crypto";
import { clearAttempts, enrolDevice, endSession, firstRun, noteSecurity, openSession, setSecret, takeAttempt } from "@hangrail/db/people-acts";
import { peopleWithPin, readClock, sitesOf } from "@hangrail/db/sessions";
import { isTimeZone } from "@hangrail/rules/calendar";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import type { Context } from "./context.ts";
import { id, isWritable, words } from "./inputs.ts";
import { hashSecret, isSecret, newToken, tokenHash } from "./secrets.ts";
import { newRequest, openProcedure, procedureFor, router } from "./trpc.ts";

const SESSION_HOURS = 12;
const DEVICE_SECONDS = 400 * 24 * 3600;

const COMMON = new Set(["password", "12345678", "123456789", "1234567890", "qwertyui", "password1", "iloveyou", "11111111", "regulator", "scubadive", "hangrail"]);
export const password = z
  .string()
  .min(10, "A password has at least 10 characters; a short sentence is easy to remember.")
  .max(200, "A password has at most 200 characters.")
  .refine((text) => !COMMON.has(text.toLowerCase()) && new Set(text).size > 3, "That password is too easy to guess.");
export const pin = z
  .string()
  .regex(/^\d{6}$/, "A PIN has six digits.")
  .refine((text) => new Set(text).size > 1 && !"01234567890".includes(text) && !"09876543210".includes(text), "That PIN is too easy to guess.");
export const login = z.string().trim().toLowerCase().regex(/^[a-z0-9._-]{2,40}$/, "A login name is 2 to 40 letters, digits, dots, hyphens.");
const name = words(80, 1);

export const session = router({
  /** Who is at this screen, where, and on which device: the first question of every page. */
  whoAmI: openProcedure.query(async ({ ctx }) => {
    const { db } = ctx.room;
    const site = ctx.session?.site ?? ctx.device?.site ?? null;
    const [clock, people, sites, anybody] = await Promise.all([
      readClock(db, site?.timeZone ?? "UTC"),
      ctx.device ? peopleWithPin(db, ctx.device.site.id) : [],
      ctx.session ? sitesOf(db, ctx.session.staff.id) : [],
      ctx.session ? true : db.prisma.staff.findFirst({ select: { id: true } }),
    ]);
    return {
      stage: ctx.session ? ("signed-in" as const) : anybody ? ("sign-in" as const) : ("first-run" as const),
      today: clock.today,
      site,
      staff: ctx.session?.staff ?? null,
      device: ctx.device && { id: ctx.device.id, name: ctx.device.name },
      people,
      sites,
      clock: { ok: clock.doubt === null, sentence: clock.doubt && clockSentence(clock.doubt) },
    };
  }),

  /** Sets the centre up on an empty database. The code is printed where the server was started. */
  firstRun: openProcedure
    .input(
      z.strictObject({
        code: z.string().max(100),
        siteName: name,
        timeZone: z.string().refine(isTimeZone, "That is no time zone we know, such as Europe/Lisbon."),
        units: z.enum(["metric", "us"]),
        managerName: name,
        login,
        password,
        pin,
      }),
    )
    .mutation(async ({ ctx, input }) => {
      if (!isSetUpCode(input.code)) throw new TRPCError({ code: "FORBIDDEN", message: "That is not the set-up code. It is printed where Hangrail was started." });
      const [passwordHash, pinHash] = await Promise.all([hashSecret(input.password), hashSecret(input.pin)]);
      const answer = await firstRun(
        ctx.room.db,
        { name: input.siteName, timeZone: input.timeZone, units: input.units },
        { name: input.managerName, login: input.login, passwordHash, pinHash },
      );
      if (answer.answer === "refused") throw new TRPCError({ code: "CONFLICT", message: "This centre is already set up. Please sign in." });
      await startSession(ctx, answer.staff, answer.site, "password");
      return { answer: "done" as const };
    }),

  signIn: openProcedure
    .input(z.strictObject({ login: z.string().trim().toLowerCase().max(40).refine(isWritable, "That is no login name."), password: z.string().max(200) }))
    .mutation(async ({ ctx, input }) => {
      const { db } = ctx.room;
      const key = `password:${input.login}`;
      await attempt(ctx, key, null);
      const staff = await db.prisma.staff.findUnique({ where: { login: input.login }, select: { id: true, passwordHash: true, closedAt: true } });
      const right = await isSecret(input.password, staff && !staff.closedAt ? staff.passwordHash : null);
      if (!right || !staff) return wrong(ctx, "wrong-password", staff?.id ?? null, "The login name or the password is wrong.");
      await clearAttempts(db, key);
      // The password shows who it is: a PIN locked on this device serves again.
      if (ctx.device) await clearAttempts(db, `pin:${staff.id}:${ctx.device.id}`);
      const sites = await sitesOf(db, staff.id);
      const here = sites.find((site) => site.id === ctx.device?.site.id) ?? sites[0];
      if (!here) return wrong(ctx, "no-role", staff.id, "You have no role at any site. Ask a manager.");
      await startSession(ctx, staff.id, here.id, "password");
      return { answer: "done" as const };
    }),

  /** Quick change of person on an enrolled device. */
  switchPerson: openProcedure
    .input(z.strictObject({ staffId: id, pin: z.string().regex(/^\d{6}$/, "A PIN has six digits.") }))
    .mutation(async ({ ctx, input }) => {
      if (!ctx.device) throw new TRPCError({ code: "FORBIDDEN", message: "This device is not enrolled. Sign in with your password." });
      const { db } = ctx.room;
      const key = `pin:${input.staffId}:${ctx.device.id}`;
      await attempt(ctx, key, input.staffId);
      const staff = await db.prisma.staff.findUnique({ where: { id: input.staffId }, select: { id: true, pinHash: true, closedAt: true } });
      const { site } = ctx.device;
      // Of somebody without a role here nothing is told, not even that the PIN is right.
      const isHere = staff !== null && !staff.closedAt && (await sitesOf(db, staff.id)).some((one) => one.id === site.id);
      const right = await isSecret(input.pin, isHere ? staff.pinHash : null);
      if (!right) return wrong(ctx, "wrong-pin", input.staffId, "That PIN is wrong.");
      await clearAttempts(db, key);
      await startSession(ctx, input.staffId, site.id, "pin");
      return { answer: "done" as const };
    }),

  signOut: openProcedure.mutation(async ({ ctx }) => {
    if (ctx.session) await endSession(ctx.room.db, ctx.session.id);
    ctx.setCookie("session", null, 0);
    return { answer: "done" as const };
  }),

  /** Somebody touches this screen: puts off the idle limit. A mutation, so that the guard counts it. */
  stillHere: procedureFor().mutation(() => ({ answer: "done" as const })),

  chooseSite: procedureFor()
    .input(z.strictObject({ siteId: id }))
    .mutation(async ({ ctx, input }) => {
      const sites = await sitesOf(ctx.db, ctx.session.staff.id);
      if (!sites.some((site) => site.id === input.siteId)) throw new TRPCError({ code: "FORBIDDEN", message: "You have no role at that site." });
      if (ctx.session.deviceId !== null) throw new TRPCError({ code: "FORBIDDEN", message: "This device belongs to one site. Use your own computer for another." });
      await startSession(ctx, ctx.session.staff.id, input.siteId, "password");
      return { answer: "done" as const };
    }),

  /** Enrols the browser that calls as a shared device of this site. */
  enrolDevice: procedureFor("manager")
    .input(z.strictObject({ name: words(40, 1) }))
    .mutation(async ({ ctx, input }) => {
      const token = newToken();
      const answer = await enrolDevice(ctx.db, ctx.who(newRequest()), input.name, tokenHash(token));
      if (answer.answer === "done") ctx.setCookie("device", token, DEVICE_SECONDS);
      return answer;
    }),

  changeSecret: procedureFor()
    .input(z.strictObject({ current: z.string().max(200), password: password.optional(), pin: pin.optional() }))
    .mutation(async ({ ctx, input }) => {
      const staff = await ctx.db.prisma.staff.findUniqueOrThrow({ where: { id: ctx.session.staff.id }, select: { login: true, passwordHash: true } });
      const key = `password:${staff.login}`;
      await attempt(ctx, key, ctx.session.staff.id);
      if (!(await isSecret(input.current, staff.passwordHash))) return wrong(ctx, "wrong-password", ctx.session.staff.id, "Your present password is wrong.");
      await clearAttempts(ctx.db, key);
      return setSecret(
        ctx.db,
        ctx.who(newRequest()),
        ctx.session.staff.id,
        input.password === undefined ? null : await hashSecret(input.password),
        input.pin === undefined ? null : await hashSecret(input.pin),
        ctx.session.id,
      );
    }),
});

/** A new token at every sign-in and every change of person: one that was known before is worth nothing after. */
async function startSession(ctx: Context, staff: string, site: string, openedWith: "password" | "pin"): Promise<void> {
  const token = newToken();
  const answer = await openSession(ctx.room.db, {
    tokenHash: tokenHash(token),
    staff,
    site,
    device: ctx.device?.site.id === site ? ctx.device.id : null,
    openedWith,
    hours: SESSION_HOURS,
    replaces: ctx.session?.id ?? null,
  });
  if (answer.answer === "refused") throw new TRPCError({ code: "FORBIDDEN", message: "You have no role at this site. Ask a manager." });
  ctx.setCookie("session", token, SESSION_HOURS * 3600);
}

/** Takes one attempt before the secret is looked at. */
async function attempt(ctx: Context, key: string, staff: string | null): Promise<void> {
  const answer = await takeAttempt(ctx.room.db, key);
  if (answer.answer === "done") return;
  await noteSecurity(ctx.room.db, { kind: answer.code, staff, device: ctx.device?.id ?? null, site: ctx.device?.site.id ?? null, detail: {} });
  const message =
    answer.code === "attempts-wait"
      ? `Too many wrong tries. Wait ${String(answer.facts["seconds"])} seconds.`
      : key.startsWith("pin:")
        ? "This PIN is locked on this device. Sign in with your password, or ask a manager for a new PIN."
        : "Too many wrong tries. Wait a quarter of an hour, or ask a manager for a new password.";
  throw new TRPCError({ code: "TOO_MANY_REQUESTS", message });
}

async function wrong(ctx: Context, kind: string, staff: string | null, message: string): Promise<never> {
  await noteSecurity(ctx.room.db, { kind, staff, device: ctx.device?.id ?? null, site: ctx.device?.site.id ?? null, detail: {} });
  throw new TRPCError({ code: "UNAUTHORIZED", message });
}

function isSetUpCode(code: string): boolean {
  const expected = process.env["HANGRAIL_SETUP_CODE"];
  // A server that was given no code hands set-up to nobody.
  if (!expected) return false;
  return timingSafeEqual(tokenHash(code.trim()), tokenHash(expected));
}

function clockSentence(doubt: { readonly code: "clock-behind" | "clock-leap"; readonly facts: { readonly clock: string; readonly recorded: string } }): string {
  const { clock, recorded } = doubt.facts;
  return doubt.code === "clock-behind"
    ? `The server's clock shows ${clock}, but something was recorded at ${recorded}. Hand-outs are held until the clock is right, or a manager confirms it.`
    : `The server's clock has jumped ahead, from ${recorded} to ${clock}. Hand-outs are held until a manager confirms it.`;
}
