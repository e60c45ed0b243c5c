/**
 * Forecasts cost the most of a plan, and a screen asks again with every set it moves. So the last few
 * answers are kept by a digest of all they rest on: the same facts get the same answer, on any node,
 * and other facts never do.
 */
import { createHash } from "node:crypto";
import type { PlanFacts } from "./plan-facts.ts";
import { planSets, type DueBy, type PlannedSets } from "./plan-sets.ts";
import type { BookingKind } from "./plan-view.ts";

const MOST_KEPT = 8;
const kept = new Map<string, PlannedSets>();

export async function rememberedSets(facts: PlanFacts, kinds: readonly BookingKind[], dueBy: DueBy): Promise<PlannedSets> {
  const { today, weeks, benchDays, sets, pasts, models, orders } = facts;
  const wishes = kinds.map(({ sets: _, ...kind }) => kind);
  const key = createHash("sha256").update(JSON.stringify([dueBy, today, weeks, benchDays, sets, pasts, models, orders, wishes])).digest("base64");
  const known = kept.get(key) ?? (await planSets(facts, kinds, dueBy));
  // The one asked for last goes to the end, and the first is forgotten.
  kept.delete(key);
  kept.set(key, known);
  if (kept.size > MOST_KEPT) kept.delete(kept.keys().next().value!);
  return known;
}
