import { day } from "@hangrail/rules/calendar";
import type { Hold } from "@hangrail/rules/hand-out";
import { expect, test } from "vitest";
import { outSince, reasonsOf } from "./waiting.ts";

const today = day("2026-11-25");
const overdue = (component: string, dueOn: string): Hold => ({ code: "service-overdue", component, limbs: ["months"], dueOn: day(dueOn), divesLeft: null, minutesLeft: null });
const waiting = (state: string, holds: readonly Hold[]) => ({ state, since: "2026-08-24T05:15:00Z", today, holds });

test("a set that is only overdue is out of service from the day after its earliest due day", () => {
  expect(outSince(waiting("held", [overdue("c1", "2026-11-20"), overdue("c2", "2026-11-13")]), "Europe/Malta")).toBe("2026-11-14");
});

test("whatever else holds it as well has held it since it was last touched", () => {
  expect(outSince(waiting("held", [overdue("c1", "2026-11-20"), { code: "not-judged", component: "c2" }]), "Europe/Malta")).toBe("2026-08-24");
  expect(outSince(waiting("tagged-out", [overdue("c1", "2026-11-20")]), "Europe/Malta")).toBe("2026-08-24");
});

test("the day is the site's own", () => {
  expect(outSince({ ...waiting("tagged-out", []), since: "2026-11-24T23:30:00Z" }, "Europe/Malta")).toBe("2026-11-25");
});

test("components overdue for the same work are one reason with a sentence each", () => {
  const reasons = reasonsOf([overdue("c1", "2026-11-20"), overdue("c2", "2026-11-13")], { units: "metric", componentName: (id) => `part ${id}` });
  expect(reasons).toHaveLength(1);
  expect(reasons[0]?.sentences).toEqual(["Part c1: due on 20 Nov 2026.", "Part c2: due on 13 Nov 2026."]);
});
