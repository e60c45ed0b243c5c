import { COST_INPUTS, type ModelFigures } from "@hangrail/rules/model-figures";
import { expect, test } from "vitest";
import { figureText, notKnownText, readFigure, readNumber } from "./cost-words.ts";

test("a number that is none is not taken for nought", () => {
  expect(["", "2", "2.5", "2,5", "two", "1e9"].map(readNumber)).toEqual([null, 2, 2.5, 2.5, undefined, undefined]);
});

test("every figure stands in its field as it is read back", () => {
  const figures: ModelFigures = {
    priceCents: 26_500, resaleCents: 4_500, lifeYears: 8, kitsPerService: 1, kitCents: 2_450, benchMinutesPerService: 60, benchHourCents: 3_800,
    serviceMonths: 12, serviceDives: "no-limit", divesPerYear: 71.25, faultsPerYear: 0.5, repairMinutesPerFault: 30, hireCentsPerYear: null,
  };
  for (const input of COST_INPUTS) expect({ [input]: readFigure(input, figureText(input, figures)) }).toEqual({ [input]: figures[input] });
  expect([readFigure("lifeYears", "2.5"), readFigure("lifeYears", "0"), readFigure("serviceMonths", "none"), readFigure("divesPerYear", "0")]).toEqual([undefined, undefined, "no-limit", 0]);
});

test("what is not known is named", () => {
  expect(notKnownText(["priceCents", "benchHourCents"])).toBe("Not known: purchase price and a bench hour.");
});
