/** The service record on paper: everything of one set, and nothing of another. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, failure, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { done } from "../support/kit-room.ts";

let at: ApiRoom;
let desk: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 2 });
  desk = (await at.as("desk")).api;
});
afterAll(() => at.close());

test("the record has the parts, the release and the wash of a ready set, with who and with what", async () => {
  const set = at.room.sets[0]!;
  const record = await desk.setLife.record({ tag: set.tag.toLowerCase() });
  expect(record).toMatchObject({ tag: set.tag, retiredAt: null, handOuts: 0, faults: [], most: 500 });
  expect(record.parts.map(({ position, takenOffAt }) => [position, takenOffAt])).toEqual(Object.keys(set.parts).map((position) => [position, null]));
  expect(record.releases[0]).toMatchObject({ by: expect.any(String) as unknown, words: expect.any(String) as unknown });
  expect(record.washes).toHaveLength(record.cleanings);
  expect(record.washes[0]).toMatchObject({ disinfectant: expect.any(String) as unknown, ppm: expect.any(Number) as unknown });
});

test("an incident stands in the record of its set with its part and words, and in no other", async () => {
  const [one, other] = [at.room.sets[0]!, at.room.sets[1]!];
  done(await desk.bench.reportFault({ requestId: aRequest(), setId: one.id, code: "SS-05", component: one.parts.primary, where: "desk", words: "It hissed" }));
  const [fault] = (await desk.setLife.record({ tag: one.tag })).faults;
  expect(fault).toMatchObject({ code: "SS-05", words: "It hissed", part: expect.stringContaining("(") as unknown, clearedAt: null, outcome: null });
  expect((await desk.setLife.record({ tag: other.tag })).faults).toEqual([]);
});

test("a tag that is none of the site's is not found, by name", async () => {
  expect(await failure(desk.setLife.record({ tag: "NONE-9" }))).toMatchObject({ code: "NOT_FOUND", message: expect.stringContaining("There is no set NONE-9 at") as unknown });
});

test("the line of time holds the days of what was done, and readings hold their part's limits", async () => {
  const set = at.room.sets[1]!;
  await at.room.test([set]);
  const { timeline, series } = await desk.setLife.picture({ tag: set.tag });
  const times = (mark: string) => timeline.marks.filter((one) => one.mark === mark).reduce((sum, one) => sum + one.times, 0);
  expect({ wash: times("wash"), test: times("test"), service: times("service"), release: times("release"), fault: times("fault") }).toEqual({ wash: 1, test: 2, service: 1, release: 1, fault: 0 });
  expect(timeline.until).toBe(await at.room.today());
  const pressure = series.filter(({ name }) => name === "intermediate-pressure");
  expect(pressure.map(({ supplyCbar, low, high, readings }) => ({ supplyCbar, low, high, read: readings.length }))).toEqual([
    { supplyCbar: 20_000, low: 900, high: 1_000, read: 2 },
    { supplyCbar: 5_000, low: 900, high: 1_000, read: 2 },
  ]);
  expect(pressure[0]!.drift).toEqual({ answer: "too-few", days: 1, needs: 6 });
  expect(series.filter(({ name }) => name === "cracking-effort").map(({ position, low, high }) => [position, low, high])).toEqual([["primary", 200, 320], ["alternate", 300, 500]]);
  expect(await failure(desk.setLife.picture({ tag: "NONE-9" }))).toMatchObject({ code: "NOT_FOUND" });
});
