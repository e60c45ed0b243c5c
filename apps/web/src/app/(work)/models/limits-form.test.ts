import { expect, test } from "vitest";
import { figureNames, openForm, readForm, type LimitsForm } from "./limits-form.ts";
import { limbText, limitsSentence, type AcceptedLimits } from "./limits-words.ts";

const none = { text: "", none: true };
const typed = (text: string) => ({ text, none: false });
const filled: LimitsForm = {
  serviceMonths: typed("12"), serviceDives: typed("100"), serviceMinutes: none,
  hasInspection: false, inspectionMonths: none, inspectionDives: none, inspectionMinutes: none,
  maxO2Tenths: typed("40"), coldRating: "tested-4C", connection: "din-300", maxSupplyBar: typed("300"), manualPage: "Manual 3, page 14",
};

test("what was typed comes out in whole stored parts", () => {
  expect(readForm({ ...filled, serviceMinutes: typed("12,5"), maxO2Tenths: typed("32.5") }, "first-stage")).toEqual({
    limits: {
      serviceMonths: 12, serviceDives: 100, serviceMinutes: 750, hasInspection: false, inspectionMonths: null, inspectionDives: null, inspectionMinutes: null,
      maxO2Tenths: 325, coldRating: "tested-4C", connection: "din-300", maxSupplyBar: 300, manualPage: "Manual 3, page 14",
    },
  });
});

test("an empty field is a question left open, never the maker's word for none", () => {
  const read = readForm(openForm(null), "first-stage");
  expect(read).toHaveProperty("problems");
  const problems = "problems" in read ? Object.keys(read.problems) : [];
  expect(problems.sort()).toEqual(["coldRating", "connection", "hasInspection", "manualPage", "maxO2Tenths", "maxSupplyBar", "serviceDives", "serviceMinutes", "serviceMonths"]);
});

test("inspection figures are asked for once the maker asks for inspections", () => {
  const read = readForm({ ...filled, hasInspection: true, inspectionMonths: typed(""), inspectionDives: none, inspectionMinutes: none }, "first-stage");
  expect(read).toMatchObject({ problems: { inspectionMonths: expect.stringContaining("sets none") as unknown } });
});

test("a first stage cannot be without its connection and its highest pressure; a gauge is not asked for them", () => {
  const bare = { ...filled, connection: null, maxSupplyBar: none, coldRating: null };
  expect(readForm(bare, "first-stage")).toHaveProperty("problems.connection");
  expect(readForm(bare, "first-stage")).toHaveProperty("problems.maxSupplyBar");
  expect(readForm(bare, "gauge")).toMatchObject({ limits: { connection: null, maxSupplyBar: null, coldRating: "unknown" } });
});

test.each(["0", "-3", "1e3", "12 months", "1.000", "0x10", "999999999", "12.5"])("“%s” is no number of months", (text) => {
  expect(readForm({ ...filled, serviceMonths: typed(text) }, "first-stage")).toHaveProperty("problems.serviceMonths");
});

test("hours that are no full minutes are asked back, not rounded", () => {
  expect(readForm({ ...filled, serviceMinutes: typed("0.33") }, "first-stage")).toHaveProperty("problems.serviceMinutes");
});

test("limits in force come back into the form as they were entered, all but the page", () => {
  const read = readForm({ ...filled, serviceMinutes: typed("12.5") }, "first-stage");
  const limits = "limits" in read ? read.limits : null;
  const now = { ...limits, nth: 1, acceptedBy: "Tove Stone", acceptedAt: "2026-11-25T10:00:00Z" } as AcceptedLimits;
  const again = openForm(now);
  expect(again.manualPage).toBe("");
  expect(readForm({ ...again, manualPage: filled.manualPage }, "first-stage")).toEqual({ limits });
  expect(figureNames.every((name) => again[name].none || again[name].text !== "")).toBe(true);
});

test("the sentence before acceptance repeats every figure", () => {
  const read = readForm(filled, "first-stage");
  const limits = "limits" in read ? read.limits : null;
  expect(limitsSentence("Tarnfell Beck 10", "first-stage", limits!, "metric")).toBe(
    "The maker's manual of Tarnfell Beck 10 says (Manual 3, page 14): service after 12 months or 100 dives, whichever comes first, no inspection between services, oxygen to 40 % at most, cold water: tested at 4 °C, connection DIN 300 bar and cylinder pressure to 300 bar at most.",
  );
  expect(limbText({ months: null, dives: null, minutes: null })).toBe("no limit");
});
