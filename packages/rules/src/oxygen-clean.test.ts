import { expect, test } from "vitest";
import { asksOxygenClean, oxygenLimit } from "./oxygen-clean.ts";

const clean = { oxygenClean: true };
const not = { oxygenClean: false };

test.each([
  { model: 1000, service: clean, most: 1000, source: "29 CFR 1910.430(i)" },
  { model: 1000, service: not, most: 400, source: "common practice: lost by a service not done oxygen-clean" },
  { model: 1000, service: null, most: 400, source: "choice: nobody vouches for it" },
  { model: 401, service: not, most: 400, source: "29 CFR 1910.430(i)" },
  { model: 401, service: clean, most: 401, source: "29 CFR 1910.430(i)" },
  { model: 400, service: not, most: 400, source: "29 CFR 1910.430(i)" },
  { model: 220, service: not, most: 220, source: "the model's own figure" },
  { model: 220, service: clean, most: 220, source: "cleaning adds nothing a maker did not allow" },
  { model: null, service: clean, most: null, source: "not recorded stays not recorded" },
])("a model to $model, last service $service: at most $most ($source)", ({ model, service, most }) => {
  expect(oxygenLimit(model, service)).toBe(most);
  expect(asksOxygenClean(model, service)).toBe(most !== null && most > 400);
});
