import { expect, test } from "vitest";
import { isAuthorised, makersNotCovered } from "./authorisation.ts";
import { day } from "./calendar.ts";

const mine = [
  { maker: "A", from: day("2025-04-01"), until: day("2026-03-31") },
  { maker: "B", from: day("2025-04-01"), until: null },
];

test("an authorisation to 31 March covers 31 March and not 1 April", () => {
  expect(isAuthorised(mine, "A", day("2026-03-31"))).toBe(true);
  expect(isAuthorised(mine, "A", day("2026-04-01"))).toBe(false);
  expect(isAuthorised(mine, "A", day("2025-03-31"))).toBe(false);
});

test("one without an end lasts until withdrawn, and covers no other maker", () => {
  expect(isAuthorised(mine, "B", day("2040-01-01"))).toBe(true);
  expect(makersNotCovered(mine, ["B", "A", "C", "C"], day("2026-04-01"))).toEqual(["A", "C"]);
});
