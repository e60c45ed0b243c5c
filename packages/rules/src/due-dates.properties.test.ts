import fc from "fast-check";
import { expect, test } from "vitest";
import { awkwardDay, componentNearItsLimits } from "../testing/generators.ts";
import { aComponent, aPolicy, TODAY } from "../testing/index.ts";
import { addDays, addMonths } from "./calendar.ts";
import { dueOf, fallsDue } from "./due-dates.ts";

const policy = aPolicy();

test("the due day itself is allowed and the next day is not, at every month's end and leap day", () => {
  fc.assert(
    fc.property(awkwardDay, fc.integer({ min: 1, max: 36 }), (servicedOn, months) => {
      const component = aComponent({
        servicedOn,
        limits: { service: { months, dives: null, minutes: null }, inspection: null },
      });
      const dueOn = addMonths(servicedOn, months);
      expect(dueOf(component, policy, dueOn)?.service).toMatchObject({ dueOn, state: "in-date" });
      expect(dueOf(component, policy, addDays(dueOn, 1))?.service.state).toBe("overdue");
    }),
    { numRuns: 1000 },
  );
});

const LIMIT = 100;
/** Used and planned. Dives and minutes vary apart, or the one would hide a fault in the other. */
const aroundLimit = fc.tuple(fc.integer({ min: LIMIT - 2, max: LIMIT + 2 }), fc.nat(3));

test("the last dive and the last minute may be used and not one more", () => {
  fc.assert(
    fc.property(aroundLimit, aroundLimit, ([divesUsed, dives], [minutesUsed, minutes]) => {
      const component = aComponent({
        limits: { service: { months: null, dives: LIMIT, minutes: LIMIT }, inspection: null },
        divesSinceService: divesUsed,
        minutesSinceService: minutesUsed,
      });
      const service = dueOf(component, policy, TODAY)!.service;
      expect(service.state).toBe(divesUsed < LIMIT && minutesUsed < LIMIT ? "in-date" : "overdue");
      if (service.state === "in-date") {
        const tooMuch = divesUsed + dives > LIMIT || minutesUsed + minutes > LIMIT;
        expect(fallsDue(service, { backOn: TODAY, dives, minutes })).toBe(tooMuch);
      }
    }),
    { numRuns: 1000 },
  );
});

test("once overdue, waiting does not make it good", () => {
  fc.assert(
    fc.property(componentNearItsLimits("primary"), fc.nat(40), (component, wait) => {
      const now = dueOf(component, policy, TODAY);
      const afterwards = dueOf(component, policy, addDays(TODAY, wait));
      if (now?.service.state === "overdue") expect(afterwards?.service.state).toBe("overdue");
      if (now?.inspection?.state === "overdue") expect(afterwards?.inspection?.state).toBe("overdue");
    }),
    { numRuns: 1000 },
  );
});

test("teaching brings a service forward to the policy's months, never back, and moves no inspection", () => {
  const months = fc.integer({ min: 1, max: 24 });
  fc.assert(
    fc.property(awkwardDay, months, months, fc.boolean(), (servicedOn, limit, teachingMonths, inThisHire) => {
      const limb = { months: limit, dives: null, minutes: null };
      const component = aComponent({ servicedOn, limits: { service: limb, inspection: limb }, taughtSinceService: !inThisHire });
      const taught = dueOf(component, { teachingMonths }, servicedOn, inThisHire);
      expect(taught?.service.dueOn).toBe(addMonths(servicedOn, Math.min(limit, teachingMonths)));
      expect(taught?.inspection?.dueOn).toBe(addMonths(servicedOn, limit));
    }),
    { numRuns: 500 },
  );
});
