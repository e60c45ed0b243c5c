import { expect, test } from "vitest";
import { addressOf, monthBefore, readAbout, readBy } from "./filter.ts";

const today = "2026-11-25";

test("counts months back over the turn of a year", () => {
  expect([monthBefore(today, 0), monthBefore(today, 10), monthBefore(today, 11), monthBefore(today, 23)]).toEqual(["2026-11", "2026-01", "2025-12", "2024-12"]);
});

test("an empty address asks for the last two years at this site, confirmed faults only", () => {
  expect(readAbout(new URLSearchParams(), today)).toEqual({
    from: "2024-12", until: "2026-11", sites: "here", count: "confirmed", kind: null, modelId: null, maker: null, code: null, water: null,
  });
});

test("what the address says wrongly is left out, and a period never ends before it begins", () => {
  const wrong = new URLSearchParams("from=2026-12&until=2026-02&sites=everywhere&kind=boat&model=7&code=ZZ-99&water=mud&count=all");
  expect(readAbout(wrong, today)).toMatchObject({ from: "2024-03", until: "2026-02", sites: "here", count: "confirmed", kind: null, modelId: null, code: null, water: null });
});

test("a question read from its own address is the same question", () => {
  const about = { ...readAbout(new URLSearchParams(), today), sites: "mine" as const, count: "reported" as const, kind: "gauge" as const, maker: "Tarn & Fell", code: "SS-02" as const, water: "sea" as const };
  const address = new URL(addressOf("/trends", about, "maker"), "http://here");
  expect(readAbout(address.searchParams, today)).toEqual(about);
  expect(readBy(address.searchParams)).toBe("maker");
});
