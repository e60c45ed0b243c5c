import { addDays, day } from "@hangrail/rules/calendar";
import { expect, test } from "vitest";
import { addressOf, AS_IT_IS, isAsItIs, KEPT, readChoices, readSpan, type Choices } from "./plan-address.ts";
import type { Outlook } from "./plan-types.ts";

const person = "01989e04-0000-7000-8000-0000000000aa";
const kit = "01989e04-0000-7000-8000-0000000000bb";
const aSet = (n: number) => ({ id: `set-${n}`, tag: `R-${n}` }) as Outlook["sets"][number];
const outlook = (sets: number): Pick<Outlook, "weeks" | "sets" | "technicians" | "kits"> => ({
  weeks: Array.from({ length: 26 }, (_, week) => addDays(day("2026-11-23"), 7 * week)),
  sets: Array.from({ length: sets }, (_, n) => aSet(n)),
  technicians: [{ id: person, name: "Tove", usual: null, weeks: [], authorisations: [] }],
  kits: [{ id: kit, name: "Seal kit", stock: 0, onOrder: 0, arrivals: [], leadDays: null, usedLastYear: null, advice: null }],
});
const here = outlook(3);
const paramsOf = (address: string) => new URL(address, "http://here").searchParams;

const chosen: Choices = {
  weeks: 39,
  dueBy: "middle",
  locks: [
    { setId: "set-0", week: 4 },
    { setId: "set-2", week: null },
  ],
  whatIf: { away: [{ staffId: person, fromWeek: 1, untilWeek: 3 }], lateKits: [{ kitId: kit, weeks: 2 }], demand: [{ fromWeek: 5, untilWeek: 8, percent: 130 }] },
};

test("choices come back from the address they were put into", () => {
  const { address, kept } = addressOf(chosen, here);
  expect(kept).toBeNull();
  expect(readChoices(paramsOf(address), here, null)).toEqual(chosen);
  expect(address).not.toContain("Tove");
});

test("nothing chosen is a plain address", () => {
  const none: Choices = { weeks: 26, dueBy: "low", locks: [], whatIf: AS_IT_IS };
  expect(addressOf(none, here).address).toBe("/plan");
  expect(readChoices(new URLSearchParams(), here, null)).toEqual(none);
  expect(isAsItIs(none.whatIf)).toBe(true);
  expect(isAsItIs(chosen.whatIf)).toBe(false);
});

test("a week later the same link means the same weeks, and what lies in the past is left out", () => {
  const { address } = addressOf({ ...chosen, locks: [{ setId: "set-0", week: 4 }, { setId: "set-1", week: 0 }] }, here);
  const later = { ...here, weeks: here.weeks.map((monday) => addDays(monday, 7)) };
  const read = readChoices(paramsOf(address), later, null);
  expect(read.locks).toEqual([{ setId: "set-0", week: 3 }]);
  expect(read.whatIf.away).toEqual([{ staffId: person, fromWeek: 0, untilWeek: 2 }]);
});

test("a long list is kept by the tab, and the address says so", () => {
  const many = outlook(400);
  const all: Choices = { ...chosen, locks: many.sets.map(({ id }, n) => ({ setId: id, week: n % 26 })) };
  const { address, kept } = addressOf(all, many);
  expect(address.length).toBeLessThan(600);
  expect(paramsOf(address).get("fix")).toBe(KEPT);
  expect(readChoices(paramsOf(address), many, kept)).toEqual(all);
  expect(readChoices(paramsOf(address), many, null).locks).toEqual([]);
});

test.each(["fix=R-9.20261123~R-0.20261124~R-1", "away=nobody.20261123.20261130", `away=${person}.20261130.20261123`, `late=${kit}.0~x.2~${kit}.999`, "demand=2000.20261123.20261123~.20261123.20261123", "fix=kept"])("what names nothing is left out: %s", (query) => {
  expect(readChoices(new URLSearchParams(query), here, null)).toEqual({ weeks: 26, dueBy: "low", locks: [], whatIf: AS_IT_IS });
});

test("only spans that are offered are asked for", () => {
  expect(readSpan(new URLSearchParams("weeks=13&by=middle"))).toEqual({ weeks: 13, dueBy: "middle" });
  expect(readSpan(new URLSearchParams("weeks=9999&by=hope"))).toEqual({ weeks: 26, dueBy: "low" });
});
