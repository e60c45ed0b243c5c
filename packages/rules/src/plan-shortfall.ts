/**
 * When there is no plan that covers every booking and keeps every lock: what is short in which week,
 * and the cheapest relief that would make one. Found by asking the solver again with extra hours, kits
 * and borrowed sets on offer at a price each (the goal "relief" of plan-formulation.ts).
 */
import type { PlanFormulation, ReliefPrices } from "./plan-formulation.ts";
import type { PlanProblem } from "./plan-problem.ts";

export type ReliefItem =
  /** Hours of one more technician authorised for the maker, with the bench room for them. */
  | { readonly short: "technician"; readonly maker: string; readonly week: number; readonly minutes: number }
  /** Bench room alone: the technicians have hours left. */
  | { readonly short: "bench"; readonly week: number; readonly minutes: number }
  /** So many kits more, or earlier, in hand by that week. */
  | { readonly short: "kit"; readonly kit: string; readonly week: number; readonly count: number }
  /** Sets no service could make ready: to borrow, or bookings to turn down. */
  | { readonly short: "set"; readonly booking: string; readonly week: number; readonly sets: number };

export interface Relief {
  /** By week, then what is short. */
  readonly items: readonly ReliefItem[];
  /** In the units of the prices. */
  readonly cost: number;
}

/** Points, not money: an hour of someone's time is 10. A set from elsewhere costs more than what can be done in the house. */
export const DEFAULT_RELIEF_PRICES: ReliefPrices = { technicianHour: 10, benchHour: 4, kit: 6, borrowedSet: 100 };

/** Solvers answer 29.9999999 for 30. */
const ROUNDING = 1e-5;

const MINUTES_PER_HOUR = 60;

/** What the solver's values offer as relief, in whole minutes, kits and sets, rounded up. */
export function readRelief(formulation: PlanFormulation, values: ArrayLike<number>, prices: ReliefPrices): Relief {
  const items: ReliefItem[] = [];
  let cost = 0;
  for (const column of formulation.relief) {
    const amount = Math.ceil((values[column.column] ?? 0) - ROUNDING);
    if (amount <= 0) continue;
    const { week } = column;
    if (column.what === "technician") {
      items.push({ short: "technician", maker: column.maker, week, minutes: amount });
      cost += (prices.technicianHour * amount) / MINUTES_PER_HOUR;
    } else if (column.what === "bench") {
      items.push({ short: "bench", week, minutes: amount });
      cost += (prices.benchHour * amount) / MINUTES_PER_HOUR;
    } else if (column.what === "kit") {
      items.push({ short: "kit", kit: column.kit, week, count: amount });
      cost += prices.kit * amount;
    } else {
      items.push({ short: "set", booking: column.booking, week, sets: amount });
      cost += prices.borrowedSet * amount;
    }
  }
  const order = ["technician", "bench", "kit", "set"];
  items.sort((a, b) => a.week - b.week || order.indexOf(a.short) - order.indexOf(b.short));
  return { items, cost };
}

/** The problem as it would be with the relief granted: to judge the plan that goes with it. */
export function withRelief(problem: PlanProblem, { items }: Relief): PlanProblem {
  const more = (values: readonly number[], week: number, by: number): number[] => values.map((value, w) => (w === week ? value + by : value));
  return items.reduce((eased, item, at): PlanProblem => {
    const { week } = item;
    if (item.short === "kit") return { ...eased, kits: eased.kits.map((kit) => (kit.id === item.kit ? { ...kit, arrivals: more(kit.arrivals, week, item.count) } : kit)) };
    if (item.short === "set") return { ...eased, bookings: eased.bookings.map((booking) => (booking.id === item.booking ? { ...booking, sets: more(booking.sets, week, -item.sets) } : booking)) };
    const room = { ...eased, benchMinutes: more(eased.benchMinutes, week, item.minutes) };
    if (item.short === "bench") return room;
    const helper = {
      id: `relief ${at}`,
      minutes: Array.from({ length: problem.weeks }, (_, w) => (w === week ? item.minutes : 0)),
      authorisations: [{ maker: item.maker, from: week, until: week }],
    };
    return { ...room, technicians: [...eased.technicians, helper] };
  }, problem);
}
