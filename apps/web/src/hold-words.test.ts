import type { Caution, Hold } from "@hangrail/rules/hand-out";
import { CAUTION_ORDER, HOLD_ORDER } from "@hangrail/rules/hand-out";
import { expect, test } from "vitest";
import { cautionWords, holdGroups, holdWords } from "./hold-words.ts";

const context = { units: "metric" as const, componentName: (id: string) => `first stage ${id}` };
const due = { limbs: ["months", "dives"] as const, dueOn: "2026-07-03", divesLeft: -2, minutesLeft: null } as const;

const holds = [
  { code: "evidence-lock", component: null },
  { code: "retired", component: null },
  { code: "out", component: null },
  { code: "elsewhere", component: null },
  { code: "restored", component: null },
  { code: "notice", component: "K-1" },
  { code: "notice-check", component: "K-1" },
  { code: "fault", component: null, severity: "hold" },
  { code: "first-inspection", component: "K-1" },
  { code: "service-overdue", component: "K-1", ...due },
  { code: "service-falls-due", component: "K-1", ...due },
  { code: "inspection-overdue", component: "K-1", ...due },
  { code: "inspection-falls-due", component: "K-1", ...due },
  { code: "shelf-inspection", component: "K-1", idleSince: "2025-03-01" },
  { code: "not-judged", component: "K-1" },
  { code: "not-released", component: null },
  { code: "not-clean", component: null, cleaning: "in-bath" },
  { code: "incomplete", component: null, missing: ["alternate", "gauge"], tooMany: ["primary"] },
  { code: "pairing", component: "K-1", recorded: false },
  { code: "connection", component: "K-1", has: "yoke", valve: "din-300" },
  { code: "nitrox-connection", component: "K-1", has: null, gas: 320 },
  { code: "pressure", component: "K-1", most: 23_200, cylinder: 30_000 },
  { code: "oxygen", component: "K-1", most: 220, recorded: false, gas: 320 },
  { code: "cold", component: "K-1", rating: "warm-only", water: 80 },
] as unknown as Hold[];

test("every hold has a title, a whole sentence and who clears it", () => {
  expect(holds.map((hold) => hold.code)).toEqual([...HOLD_ORDER]);
  for (const hold of holds) {
    const { title, sentence, cleared } = holdWords(hold, context);
    expect(title).toMatch(/^[A-Z][^.]+$/);
    expect(sentence).toMatch(/^[A-Z].*\.$/);
    expect(sentence).not.toMatch(/undefined|null|NaN/);
    expect(cleared).toMatch(/: the (desk hand|wash-room hand|technician|manager)( or the [a-z-]+( hand)?)?\.$/);
  }
});

test("a due hold tells only the limbs that hold, with their figures", () => {
  const hold = holds.find((one) => one.code === "service-overdue");
  expect(hold && holdWords(hold, context).sentence).toBe("First stage K-1: due on 3 Jul 2026 and 2 dives over its limit.");
});

test("a fault that the desk may put right says so; one that tags out does not", () => {
  expect(holdWords({ code: "fault", component: null, severity: "hold" }, context).cleared).toContain("desk hand");
  expect(holdWords({ code: "fault", component: null, severity: "out" }, context).cleared).not.toContain("desk hand");
});

test("what holds several components alike is said once and names them; what differs stands beneath the same title", () => {
  const first = (component: string): Hold => ({ code: "first-inspection", component });
  const overdue = (component: string, dueOn: string): Hold => ({ code: "service-overdue", component, limbs: ["months"], dueOn: dueOn as never, divesLeft: null, minutesLeft: null });
  const groups = holdGroups([first("K-1"), first("K-2"), first("K-3"), overdue("K-1", "2026-07-03"), overdue("K-2", "2026-07-05")], context);
  expect(groups.map(({ title, sentences }) => [title, sentences])).toEqual([
    ["Never inspected", ["First stage K-1 has never been used, inspected or serviced. Likewise: first stage K-2 and first stage K-3."]],
    ["Service overdue", ["First stage K-1: due on 3 Jul 2026.", "First stage K-2: due on 5 Jul 2026."]],
  ]);
});

test("faults are never run together: who clears them differs, and so does what was said", () => {
  const fault = (component: string, severity: "out" | "hold"): Hold => ({ code: "fault", component, severity });
  const groups = holdGroups([fault("K-1", "out"), fault("K-2", "out"), fault("K-3", "hold")], context);
  expect(groups.map(({ sentences }) => sentences.length)).toEqual([2, 1]);
});

test("pressures are told in the site's units", () => {
  const hold = holds.find((one) => one.code === "pressure");
  expect(hold && holdWords(hold, { ...context, units: "us" }).sentence).toBe("The cylinder has 4351 psi (300 bar); first stage K-1 takes 3365 psi (232 bar) at most.");
});

test("every caution has a sentence", () => {
  const cautions = [
    { code: "watch-fault", component: null },
    { code: "bedding-check", component: "K-1", servicedOn: "2026-05-01", dives: 12 },
    { code: "service-soon", component: "K-1", dueOn: null, divesLeft: 4 },
    { code: "two-diver-depth", component: "K-1", depth: 350 },
  ] as unknown as Caution[];
  expect(cautions.map((caution) => caution.code)).toEqual([...CAUTION_ORDER]);
  for (const caution of cautions) expect(cautionWords(caution, context)).toMatch(/^[A-Z].*\.$/);
});
