/** A supposition in words, and two plans beside each other by their numbers. */
import type { FoundView, JudgedPlan } from "@hangrail/api/plan-view";
import { countText, hoursText, listText, numberText } from "../../../format.ts";
import type { WhatIf } from "./plan-address.ts";
import type { Outlook } from "./plan-types.ts";
import { gapText } from "./plan-words.ts";
import { weekAndDay } from "./weeks.ts";

/** "Tove Stone is away from week 2 (11 Jan) until week 5 (1 Feb)". */
export function whatIfText({ away, lateKits, demand }: WhatIf, { weeks, technicians, kits }: Pick<Outlook, "weeks" | "technicians" | "kits">): string {
  const on = (week: number) => weekAndDay(weeks[week] ?? "");
  const span = ({ fromWeek, untilWeek }: { fromWeek: number; untilWeek: number }) => (fromWeek === untilWeek ? `in ${on(fromWeek)}` : `from ${on(fromWeek)} until ${on(untilWeek)}`);
  return listText([
    ...away.map((one) => `${technicians.find(({ id }) => id === one.staffId)?.name ?? "a technician"} is away ${span(one)}`),
    ...lateKits.map((one) => `${kits.find(({ id }) => id === one.kitId)?.name ?? "a kit"} on order comes ${countText(one.weeks, "week")} later`),
    ...demand.map((one) => `bookings are ${numberText(one.percent)} % of what they are ${span(one)}`),
  ]);
}

export interface Compared {
  readonly what: string;
  readonly now: string;
  readonly other: string;
  /** Which is better in this line; null = alike. */
  readonly better: "now" | "other" | null;
}

/** Two plans by their numbers; less is better in every line that judges. */
export function compared(now: JudgedPlan, gap: number | null, other: FoundView): readonly Compared[] {
  const going = ({ lines }: JudgedPlan) => lines.filter(({ week }) => week !== null).length;
  const fullest = ({ weeks }: JudgedPlan) => Math.max(0, ...weeks.map(({ load }) => load));
  const line = (what: string, of: (plan: JudgedPlan) => number, words: (value: number) => string, judges = true): Compared => {
    const [a, b] = [of(now), of(other)];
    return { what, now: words(a), other: words(b), better: !judges || a === b ? null : a < b ? "now" : "other" };
  };
  return [
    line("Bookings without a set", ({ score }) => score.shortage, numberText),
    line("Weeks sets are off the desk", ({ score }) => score.lost, numberText),
    line("Weeks serviced late", ({ score }) => score.late, numberText),
    line("Sets left overdue at the end", ({ score }) => score.undone, numberText),
    line("Weeks of service life thrown away", ({ score }) => score.waste, numberText),
    line("Work in the fullest week", fullest, hoursText),
    line("Sets serviced", going, numberText, false),
    line("Kits to order", ({ toOrder }) => toOrder.reduce((sum, { count }) => sum + count, 0), numberText, false),
    { what: "How good it is proven to be", now: gap === null ? "Moved by hand: not proven." : gapText(gap), other: gapText(other.gap), better: null },
  ];
}
