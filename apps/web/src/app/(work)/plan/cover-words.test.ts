import { expect, test } from "vitest";
import { coverText, loadText, type CoverPoint } from "./cover-words.ts";

const point = (week: string, booked: number, able: number, short: number): CoverPoint => ({ week, booked, able, before: able, short });
const weeks = ["2027-08-02", "2027-08-09", "2027-08-16"] as const;

test("cover names the weeks that are short and by how much at the most", () => {
  const short = [point(weeks[0], 5, 5, 0), point(weeks[1], 7, 5, 2), point(weeks[2], 6, 5, 1)];
  expect(coverText(short, true)).toBe("2 weeks are short: weeks 32 and 33, by 2 sets at the most.");
  expect(coverText([point(weeks[0], 6, 5, 1)], false)).toBe("1 week is short were nothing serviced: week 31, by 1 set at the most.");
  expect(coverText([point(weeks[0], 5, 5, 0)], true)).toBe("With this plan every booking has a set.");
  expect(coverText([point(weeks[0], 5, 5, 0)], false)).toBe("Every booking has a set, even were nothing serviced.");
  expect(coverText([point(weeks[0], 0, 5, 0)], true)).toBe("Nothing of this kind is booked in these weeks.");
});

const row = (week: string, load: number, room: number) => ({ week, load, room, going: load > 0 ? 1 : 0 });

test("load names the fullest week, or the weeks with too much", () => {
  expect(loadText([row(weeks[0], 60, 240), row(weeks[1], 200, 240), row(weeks[2], 0, 0)], true)).toBe("4 h 20 min of work in 8 h; the fullest is week 32 (9 Aug), 3 h 20 min of 4 h.");
  expect(loadText([row(weeks[0], 300, 240), row(weeks[1], 30, 0)], true)).toBe("Too much work in weeks 31 and 32.");
  expect(loadText([row(weeks[0], 0, 240)], true)).toBe("No work is planned; the bench has 4 h in these weeks.");
  expect(loadText([row(weeks[0], 0, 240)], false)).toBe("The bench has 4 h in these weeks. Work out a plan to see how they are filled.");
  expect(loadText([row(weeks[0], 0, 0)], true)).toBe("No hours at the bench are entered for these weeks.");
});
