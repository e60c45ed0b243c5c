/** Small plan problems with everything in them, for properties. Tight on purpose: hours, kits and cover all bind. */
import fc from "fast-check";
import type { PlanKit, PlanProblem, PlanSet, PlanTechnician } from "../src/plan-problem.ts";

const MAKERS = ["Alder", "Birch"];
const KITS = ["seal kit", "valve kit"];
const BOOKINGS = ["cold", "warm"];

export interface PlanSize {
  readonly sets: number;
  readonly weeks: number;
  /** Whether sets may be locked; a lock may break a rule by itself. */
  readonly locks: boolean;
}

export function smallPlan({ sets, weeks, locks }: PlanSize): fc.Arbitrary<PlanProblem> {
  const byWeek = (most: number, step = 1): fc.Arbitrary<number[]> => fc.array(fc.nat(most).map((n) => n * step), { minLength: weeks, maxLength: weeks });
  const someWeek = fc.nat(weeks - 1);
  const set = fc.record({
    serves: fc.constantFrom(["warm"], ["cold"], ["cold", "warm"], ["warm"], []),
    due: fc.integer({ min: -2, max: weeks + 1 }),
    awayWeeks: fc.constantFrom(1, 1, 1, 2),
    work: fc.constantFrom(
      [{ maker: "Alder", minutes: 60 }],
      [{ maker: "Birch", minutes: 90 }],
      [{ maker: "Alder", minutes: 45 }, { maker: "Birch", minutes: 30 }],
    ),
    kits: fc.constantFrom([], [{ kit: "seal kit", count: 1 }], [{ kit: "seal kit", count: 1 }, { kit: "valve kit", count: 2 }]),
    out: fc.oneof({ weight: 3, arbitrary: fc.constant([]) }, { weight: 1, arbitrary: fc.array(someWeek, { maxLength: 2 }) }),
    onBench: fc.oneof({ weight: 5, arbitrary: fc.constant([]) }, { weight: 1, arbitrary: fc.array(someWeek, { maxLength: 2 }) }),
    lasts: fc.oneof({ weight: 4, arbitrary: fc.constant(null) }, { weight: 1, arbitrary: fc.integer({ min: 2, max: weeks }) }),
    lock: locks ? fc.oneof({ weight: 5, arbitrary: fc.constant(null) }, { weight: 1, arbitrary: fc.record({ week: fc.oneof(someWeek, fc.constant(null)) }) }) : fc.constant(null),
  });
  const technician = fc.record({
    minutes: byWeek(4, 30),
    authorisations: fc.uniqueArray(fc.record({ maker: fc.constantFrom(...MAKERS), from: fc.nat(1), until: fc.integer({ min: weeks - 2, max: weeks }) }), { selector: ({ maker }) => maker, minLength: 1 }),
  });
  const named = <T extends object>(list: readonly T[], name: string): (T & { id: string })[] => list.map((one, at) => ({ ...one, id: `${name}${at}` }));
  return fc.record({
    weeks: fc.constant(weeks),
    sets: fc.array(set, { minLength: 1, maxLength: sets }).map((list): PlanSet[] => named(list, "R-")),
    bookings: fc.tuple(byWeek(2), byWeek(3)).map(([cold, warm]) => [{ id: BOOKINGS[0]!, sets: cold }, { id: BOOKINGS[1]!, sets: warm }]),
    benchMinutes: byWeek(6, 30),
    technicians: fc.array(technician, { minLength: 1, maxLength: 2 }).map((list): PlanTechnician[] => named(list, "T")),
    kits: fc.tuple(...KITS.map((id) => fc.record({ id: fc.constant(id), stock: fc.nat(2), arrivals: byWeek(1) }))).map((list): PlanKit[] => list),
    weights: fc.record({
      shortage: fc.constantFrom(100, 7), lost: fc.constantFrom(10, 3), waste: fc.constantFrom(1, 0), late: fc.constantFrom(0, 2),
      undone: fc.constantFrom(0, 80), level: fc.constantFrom(0, 0.5),
    }),
    coverFirst: fc.boolean(),
  });
}
