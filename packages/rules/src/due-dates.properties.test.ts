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

test("the last dive and the last minute may be used and not one more", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 200 }), fc.integer({ min: -2, max: 2 }), fc.nat(3), (limit, fromLimit, planned) => {
      const used = Math.max(0, limit + fromLimit);
      const component = aComponent({
        limits: { service: { months: null, dives: limit, minutes: limit }, inspection: null },
        divesSinceService: used,
        minutesSinceService: used,
      });
      const service = dueOf(component, policy, TODAY)!.service;
      expect(service.state).toBe(used < limit ? "in-date" : "overdue");
      if (service.state === "in-date") {
        expect(fallsDue(service, { backOn: TODAY, dives: planned, minutes: planned })).toBe(used + planned > limit);
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

test("teaching never moves a due day back", () => {
  fc.assert(
    fc.property(componentNearItsLimits("primary"), (component) => {
      const plain = dueOf({ ...component, taughtSinceService: false }, policy, TODAY);
      const taught = dueOf({ ...component, taughtSinceService: true }, policy, TODAY);
      if (plain?.service.dueOn) expect(taught!.service.dueOn! <= plain.service.dueOn).toBe(true);
      expect(taught?.inspection).toEqual(plain?.inspection);
    }),
  );
});
