/**
 * What the tab keeps of a plan in work, so that a reload loses nothing: ids, weeks and figures, no names.
 * Another tab, another week or another site begins anew.
 */
import { z } from "zod";

const kept = z.strictObject({
  site: z.string(),
  fromOn: z.string(),
  weeks: z.int(),
  dueBy: z.enum(["low", "middle"]),
  lines: z.array(z.strictObject({ setId: z.string(), week: z.int().nullable() })),
  seqs: z.record(z.string(), z.int()),
  /** How good it was proven to be; null once it was moved by hand. */
  proof: z.strictObject({ bound: z.number(), gap: z.number() }).nullable(),
});
export type KeptPlan = z.infer<typeof kept>;

const PLAN = "hangrail-plan";
const FIXED = "hangrail-plan-fixed";

export function keepPlan(plan: KeptPlan | null): void {
  write(PLAN, plan === null ? null : JSON.stringify(plan));
}

/** The plan this tab keeps for that site and those weeks; null where there is none that can be read. */
export function keptPlan(site: string, fromOn: string, weeks: number, dueBy: string): KeptPlan | null {
  try {
    const found = kept.safeParse(JSON.parse(sessionStorage.getItem(PLAN) ?? "null"));
    if (!found.success) return null;
    const plan = found.data;
    return plan.site === site && plan.fromOn === fromOn && plan.weeks === weeks && plan.dueBy === dueBy ? plan : null;
  } catch {
    return null;
  }
}

export const keepFixed = (text: string | null): void => write(FIXED, text);
export function keptFixed(): string | null {
  try {
    return sessionStorage.getItem(FIXED);
  } catch {
    return null;
  }
}

/** A browser may forbid storage, or have no room: the plan then lives as long as the page. */
function write(key: string, text: string | null): void {
  try {
    if (text === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, text);
  } catch {
    // Nothing to be done about it, and nothing recorded is lost.
  }
}
