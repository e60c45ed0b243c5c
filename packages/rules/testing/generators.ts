/**
 * Generators of facts near the boundary. A component whose facts all roam over fifty years almost
 * never stands a day from its due day, and a property over such facts misses planted faults; so days
 * stay within weeks of where they decide, and counts within a few dives of their limit.
 */
import fc from "fast-check";
import { addDays, addMonths, day } from "../src/calendar.ts";
import type { Day } from "../src/calendar.ts";
import type { ComponentFacts, HireTerms, SetFacts } from "../src/hand-out.ts";
import { COLD_RATINGS, CONNECTIONS } from "../src/models.ts";
import type { Role } from "../src/models.ts";
import { aComponent, aHire, aSet, TODAY, wholeSet } from "./index.ts";

/** Any day of eighty years. */
export const anyDay: fc.Arbitrary<Day> = fc.integer({ min: 0, max: 29_220 }).map((n) => addDays(day("1990-01-01"), n));

/** Days on which month arithmetic goes wrong: ends of months, leap days and their neighbours. */
export const awkwardDay: fc.Arbitrary<Day> = fc
  .tuple(fc.oneof(fc.integer({ min: 1990, max: 2070 }), fc.constantFrom(2000, 2100)), fc.integer({ min: 1, max: 12 }), fc.integer({ min: -2, max: 1 }))
  .map(([year, month, shift]) => addDays(day(`${year}-${String(month).padStart(2, "0")}-01`), shift));

/** A day within so many days of another. */
export function dayNear(centre: Day, within: number): fc.Arbitrary<Day> {
  return fc.integer({ min: -within, max: within }).map((n) => addDays(centre, n));
}

const severity = fc.constantFrom("out", "hold", "watch");
const openFaults = fc.array(severity, { maxLength: 2 });

/** A component whose service and inspection fall due within days or dives of TODAY. */
export function componentNearItsLimits(role: Role): fc.Arbitrary<ComponentFacts> {
  const isFirst = role === "first-stage";
  return fc
    .record({
      limited: fc.boolean(),
      inspected: fc.boolean(),
      servicedOn: fc.option(dayNear(addMonths(TODAY, -12), 12)),
      inspectedOn: fc.option(dayNear(addMonths(TODAY, -6), 12)),
      lastUsedOn: fc.option(dayNear(addMonths(TODAY, -12), 400)),
      used: fc.integer({ min: 90, max: 102 }),
      minutes: fc.integer({ min: 5900, max: 6010 }),
      taughtSinceService: fc.boolean(),
      notice: fc.constantFrom("none", "none", "none", "check", "open"),
      openFaults: fc.oneof(fc.constant([]), openFaults),
      maxO2Tenths: fc.option(fc.integer({ min: 398, max: 402 })),
      coldRating: fc.constantFrom(...COLD_RATINGS),
      connection: fc.option(fc.constantFrom(...CONNECTIONS)),
      maxSupplyCentibar: fc.option(fc.constantFrom(23_200, 30_000)),
      pairingApproved: fc.constantFrom(true, true, false, null),
    })
    .map(({ limited, inspected, used, minutes, connection, maxSupplyCentibar, pairingApproved, ...facts }) =>
      aComponent({
        role,
        ...facts,
        limits: limited
          ? {
              service: { months: 12, dives: 100, minutes: 6000 },
              inspection: inspected ? { months: 6, dives: 100, minutes: null } : null,
            }
          : null,
        divesSinceService: used,
        minutesSinceService: minutes,
        divesSinceInspection: used,
        minutesSinceInspection: minutes,
        connection: isFirst ? connection : null,
        maxSupplyCentibar: isFirst ? maxSupplyCentibar : null,
        pairingApproved: role === "primary" || role === "alternate" ? pairingApproved : null,
      }),
    );
}

const everyoneInTrouble: fc.Arbitrary<readonly ComponentFacts[]> = fc
  .subarray(["first-stage", "primary", "alternate", "gauge", "transmitter"] as const, { minLength: 3 })
  .chain((roles) => fc.tuple(...roles.map(componentNearItsLimits)));

const oneNearItsLimits: fc.Arbitrary<readonly ComponentFacts[]> = fc
  .record({
    role: fc.constantFrom("first-stage", "primary", "alternate", "gauge", "inflator-hose"),
    servicedOn: dayNear(addMonths(TODAY, -12), 12),
    divesSinceService: fc.integer({ min: 90, max: 101 }),
  })
  .map(({ role, ...facts }) => wholeSet({ [role]: facts }));

/**
 * The components of a set. Some sets have trouble everywhere; where everything holds, nothing shows
 * that one hold is missing, so as many are in order, or are so but for the due dates of one component.
 */
export const componentsNearTheirLimits: fc.Arbitrary<readonly ComponentFacts[]> = fc.oneof(
  everyoneInTrouble,
  oneNearItsLimits,
  fc.constant(wholeSet()),
);

const setWithAnyFacts: fc.Arbitrary<SetFacts> = fc
  .record({
    evidenceLock: fc.boolean(),
    retired: fc.boolean(),
    out: fc.boolean(),
    here: fc.boolean(),
    restored: fc.boolean(),
    released: fc.boolean(),
    cleaning: fc.constantFrom("clean", "to-clean", "in-bath", "drying"),
    openFaults,
  })
  .map(aSet);

const setWithOneFact: fc.Arbitrary<SetFacts> = fc
  .constantFrom<Partial<SetFacts>>(
    { evidenceLock: true },
    { retired: true },
    { out: true },
    { here: false },
    { restored: true },
    { released: false },
    { cleaning: "to-clean" },
    { cleaning: "in-bath" },
    { cleaning: "drying" },
    { openFaults: ["hold"] },
  )
  .map(aSet);

/** A set with any facts, with one fact against it, or in order. */
export const setInAnyState: fc.Arbitrary<SetFacts> = fc.oneof(setWithAnyFacts, setWithOneFact, fc.constant(aSet()));

/** A hire of a few days and dives, on gas and in water near the lines that decide. */
export const hireNearTheLines: fc.Arbitrary<HireTerms> = fc
  .record({
    nights: fc.nat(14),
    dives: fc.nat(12),
    minutes: fc.nat(120),
    teaching: fc.boolean(),
    connection: fc.constantFrom(...CONNECTIONS),
    centibar: fc.constantFrom(20_000, 23_200, 30_000),
    o2Tenths: fc.constantFrom(210, 220, 221, 399, 400, 401, 1000),
    waterTenthsC: fc.constantFrom(39, 40, 41, 99, 100, 101, 250),
    depthDecimetres: fc.constantFrom(180, 300, 301),
  })
  .map(({ nights, connection, centibar, ...terms }) =>
    aHire({ ...terms, backOn: addDays(TODAY, nights), cylinder: { connection, centibar } }),
  );
