import { describe, expect, test } from "vitest";
import { DAYS_BETWEEN_CASES, DAY_OF_CASES, MONTH_CASES, NO_DAYS } from "./calendar.cases.ts";
import { addDays, addMonths, compareDays, day, dayOf, daysBetween, earlier, isDay, isTimeZone, later, latestKnown, weekdayOf } from "./calendar.ts";

describe("a day", () => {
  test.each(NO_DAYS)("is not %j, and the refusal says so", (text) => {
    expect(isDay(text)).toBe(false);
    expect(() => day(text)).toThrow(RangeError);
    expect(() => day(text)).toThrow(`"${text}" is not a day`);
  });

  test("may be 29 February of a leap year", () => {
    expect(day("2028-02-29")).toBe("2028-02-29");
  });

  test("has a weekday, Monday first", () => {
    expect(["2026-07-06", "2026-07-05", "1970-01-01", "1900-01-01", "2000-02-29"].map((text) => weekdayOf(day(text)))).toEqual([1, 7, 4, 1, 2]);
  });

  test("is earlier or later than another", () => {
    const [a, b] = [day("2026-06-30"), day("2026-07-01")];
    expect([compareDays(a, b), compareDays(b, a), compareDays(a, a)]).toEqual([-1, 1, 0]);
    expect([earlier(a, b), later(a, b)]).toEqual([a, b]);
    expect(latestKnown(null, b, a, null)).toBe(b);
    expect(latestKnown(null, null)).toBeNull();
  });
});

test.each(MONTH_CASES)("$from + $months months = $to ($because)", ({ from, months, to }) => {
  expect(addMonths(day(from), months)).toBe(to);
});

test.each(DAYS_BETWEEN_CASES)("from $from to $to it is $days days", ({ from, to, days }) => {
  expect(daysBetween(day(from), day(to))).toBe(days);
  expect(addDays(day(from), days)).toBe(to);
});

test("half a month or a day past the last year is refused", () => {
  expect(() => addMonths(day("2026-07-03"), 0.5)).toThrow("0.5 is not a whole number of months");
  expect(() => addDays(day("2026-07-03"), Number.NaN)).toThrow(RangeError);
  expect(() => addDays(day("9999-12-31"), 1)).toThrow("The year 10000 lies outside 1900 to 9999");
  expect(() => addMonths(day("1900-01-31"), -1)).toThrow(RangeError);
});

describe("the day at an instant", () => {
  test.each(DAY_OF_CASES)("at $at in $zone is $is", ({ at, zone, is }) => {
    expect(dayOf(Date.parse(at), zone)).toBe(is);
  });

  test("is not the machine's day: these tests run in another zone than the shop's", () => {
    expect(Intl.DateTimeFormat().resolvedOptions().timeZone).toBe("Australia/Lord_Howe");
    expect(dayOf(Date.parse("2026-07-03T20:00:00Z"), "Europe/Malta")).toBe("2026-07-03");
  });

  test("wants a zone there is and a moment there is", () => {
    expect(() => dayOf(0, "Atlantis/Centre")).toThrow('"Atlantis/Centre" is not a time zone');
    expect(() => dayOf(Number.NaN, "Europe/Malta")).toThrow(RangeError);
    expect([isTimeZone("Europe/Malta"), isTimeZone("Malta, probably")]).toEqual([true, false]);
  });
});
