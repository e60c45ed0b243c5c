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
