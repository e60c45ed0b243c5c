import { expect, test } from "vitest";
import { moneyText, readCents } from "./money.ts";

test("money is shown with its cents and thousands apart, and read back in either country's way of writing it", () => {
  expect([moneyText(123_456, "EUR"), moneyText(-1_205, "GBP"), moneyText(0, "EUR")]).toEqual(["1\u202f234.56 EUR", "−12.05 GBP", "0.00 EUR"]);
  expect(["12.5", "12,50", "1 234.56", "", "x", "1.234", "-3"].map(readCents)).toEqual([1_250, 1_250, 123_456, null, undefined, undefined, undefined]);
});
