import { expect, test } from "vitest";
import { TERN as tern } from "./model-costs.cases.ts";
import { tornado } from "./tornado.ts";
import type { Tornado } from "./tornado.ts";

const free = { interestPermille: 0, netOfIncome: false };

function answered(told: ReturnType<typeof tornado>): Tornado {
  if (told.answer === "refused") throw new Error(JSON.stringify(told));
  return told;
}

test("shows which figure moves the cost most, and leaves equal ones in their order", () => {
  const ranges = { priceCents: { low: 50_000, high: 70_000 }, resaleCents: { low: 0, high: 20_000 }, faultsPerYear: { low: 0, high: 10 } };
  const told = answered(tornado(tern, ranges, { ...free, of: "year" }));
  expect(told.baseCents).toBe(14_200);
  expect(told.bars.slice(0, 4)).toEqual([
    { input: "faultsPerYear", lowCents: 13_200, highCents: 23_200, widthCents: 10_000 },
    { input: "priceCents", lowCents: 12_200, highCents: 16_200, widthCents: 4000 },
    { input: "resaleCents", lowCents: 16_200, highCents: 12_200, widthCents: 4000 },
    { input: "lifeYears", lowCents: 14_200, highCents: 14_200, widthCents: 0 },
  ]);
  expect(told.bars.at(-1)!.input).toBe("interestPermille");
});

test("varies the interest and the dives, and refuses a cost per dive without any", () => {
  const told = answered(tornado(tern, { interestPermille: { low: 0, high: 100 }, divesPerYear: { low: 50, high: 200 } }, { ...free, of: "dive" }));
  expect(told.bars[0]).toEqual({ input: "divesPerYear", lowCents: 284, highCents: 71, widthCents: 213 });
  expect(told.bars[1]).toMatchObject({ input: "interestPermille", lowCents: 142 });
  expect(tornado(tern, { divesPerYear: { low: 0, high: 9 } }, { ...free, of: "dive" })).toEqual({ answer: "refused", why: "no-dives" });
  expect(() => tornado(tern, { kitCents: { low: 9, high: 8 } }, { ...free, of: "year" })).toThrow("The range of kitCents ends below its start: 9 to 8.");
});

test("names what is not known", () => {
  expect(tornado({ ...tern, priceCents: null }, { kitCents: { low: 0, high: 1 } }, { ...free, of: "year" })).toEqual({
    answer: "refused", why: "not-known", which: ["priceCents"],
  });
});
