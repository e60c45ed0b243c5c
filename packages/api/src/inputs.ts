/** Shapes shared by procedures. Every object is strict: a key too many is refused. */
import { day as toDay, isDay } from "@hangrail/rules/calendar";
import { FAULTS, type FaultCode } from "@hangrail/rules/faults";
import { COLD_RATINGS, CONNECTIONS, MODEL_KINDS, ROLES } from "@hangrail/rules/models";
import { z } from "zod";

export const id = z.uuid("That is no id of ours.");
export const day = z.string().refine(isDay, "A day is written YYYY-MM-DD.").transform(toDay);
export const tag = z
  .string()
  .trim()
  .toUpperCase()
  .regex(/^[A-Z0-9][A-Z0-9-]{0,19}$/, "A tag is 1 to 20 letters, digits and hyphens.");

/** Whether a text can stand in a record: no control characters, no half of a surrogate pair, which no database takes. */
export function isWritable(text: string): boolean {
  return [...text].every((c) => c >= " " || c === "\n" || c === "\t") && !/\p{Cs}/u.test(text);
}

/** A line or some lines of text. */
export const words = (most: number, least = 0) =>
  z
    .string()
    .trim()
    .min(least, least === 1 ? "Please write something here." : `At least ${least} characters.`)
    .max(most, `At most ${most} characters.`)
    .refine(isWritable, "Control characters are not allowed.");

const whole = (what: string, least: number, most: number) =>
  z.int(`${what} is a whole number.`).min(least, `${what}: at least ${least}.`).max(most, `${what}: at most ${most}.`);
export { whole };

export const connection = z.enum(CONNECTIONS);
export const coldRating = z.enum(COLD_RATINGS);
export const position = z.enum(ROLES);
export const modelKind = z.enum(MODEL_KINDS);
export const faultCode = z.enum(FAULTS.map((fault) => fault.code) as [FaultCode, ...FaultCode[]]);
export const waterKind = z.enum(["sea", "fresh", "pool", "none"]);

/** A hire as the desk enters it. Minutes left out are reckoned from the dives. */
export const hireTerms = z.strictObject({
  backOn: day,
  dives: whole("Planned dives", 0, 1000),
  minutes: whole("Planned minutes", 0, 100_000).nullable(),
  teaching: z.boolean(),
  cylinder: z.strictObject({ connection, bar: whole("Cylinder pressure in bar", 1, 1000) }),
  o2Tenths: whole("Oxygen in tenths of a percent", 210, 1000),
  waterTenthsC: whole("Water temperature in tenths of a degree", -30, 450),
  depthM: whole("Depth in metres", 0, 350),
});
export type HireTermsInput = z.infer<typeof hireTerms>;
