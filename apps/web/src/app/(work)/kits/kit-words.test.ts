import { expect, test } from "vitest";
import { comesOn, movementText, needText, readCount, readPrice, standOf } from "./kit-words.ts";

test("what is ordered covers a need only once it has come", () => {
  expect(standOf({ stock: 5, need: 5, ordered: 0 })).toBe("enough");
  expect(standOf({ stock: 2, need: 5, ordered: 3 })).toBe("ordered");
  expect(standOf({ stock: 2, need: 5, ordered: 2 })).toBe("short");
  expect(needText({ stock: 2, need: 5, ordered: 3 }, "2026-05-01")).toBe("Services due by 1 May 2026 take 5: 3 kits short until what is ordered comes.");
  expect(needText({ stock: 2, need: 5, ordered: 2 }, "2026-05-01")).toBe("Services due by 1 May 2026 take 5: 1 kit short, counting what is ordered.");
  expect(needText({ stock: 0, need: 0, ordered: 0 }, "2026-05-01")).toBe("No service due by 1 May 2026 takes it.");
});

test("a price is read to the cent, with a comma or a point", () => {
  expect(["12.5", "12,50", "12", "0.05", ""].map(readPrice)).toEqual([1_250, 1_250, 1_200, 5, null]);
  for (const wrong of ["-1", "12.505", "1,000.00", "x"]) expect(readPrice(wrong)).toHaveProperty("problem");
});

test("counts are whole and in their range", () => {
  expect([readCount("7", 1, 10), readCount(" ", 1, 10)]).toEqual([7, null]);
  for (const wrong of ["0", "11", "1.5", "-1"]) expect(readCount(wrong, 1, 10)).toHaveProperty("problem");
});

test("a count tells its difference, an order its day", () => {
  expect(movementText({ kind: "counted", quantity: -2 })).toBe("Counted: 2 fewer than reckoned");
  expect(movementText({ kind: "used", quantity: -1 })).toBe("1 used");
  expect(comesOn("2026-02-25", 10)).toBe("2026-03-07");
  expect(comesOn("2026-02-25", null)).toBe("");
});
