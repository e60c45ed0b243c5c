/** What the log tells of an act: a line that a machine reads, with ids and no word that anybody typed. */
import { handOut } from "@hangrail/db/acts";
import { healthOf } from "@hangrail/api/health";
import { log } from "@hangrail/api/log";
import { afterAll, afterEach, beforeAll, expect, test, vi } from "vitest";
import { aRequest, failure, makeApiRoom, PASSWORD, secrets, type ApiRoom } from "../support/api.ts";
import { aHire, done } from "../support/kit-room.ts";

let at: ApiRoom;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 2, secrets: secrets() });
});
afterAll(() => at.close());

const usual = log.level;
afterEach(() => {
  log.level = usual;
});

/** What was logged meanwhile, line by line. */
async function lines(act: () => Promise<unknown>): Promise<{ text: string; parsed: Record<string, unknown>[] }> {
  const written: string[] = [];
  const spy = vi.spyOn(process.stderr, "write").mockImplementation((line) => written.push(String(line)) > 0);
  log.level = "info";
  try {
    await act();
  } finally {
    spy.mockRestore();
  }
  const text = written.join("");
  return { text, parsed: text.split("\n").filter((line) => line !== "").map((line) => JSON.parse(line) as Record<string, unknown>) };
}

/** What somebody typed, and would close a JSON string. */
const CANARY = 'Canary", "level": "error';

test("an act is one line: what, by whom, where, how it ended; a refusal too", async () => {
  const { room } = at;
  const desk = await at.as("desk");
  const [set] = room.sets;
  const told = await lines(async () => {
    await desk.api.washRoom.breathTested({ requestId: aRequest(), setId: set!.id, words: CANARY });
    await failure(desk.api.bench.release({ requestId: aRequest(), setIds: [set!.id], words: CANARY }));
  });
  expect(told.parsed).toEqual([
    { level: "info", time: expect.any(String), path: "washRoom.breathTested", staff: room.people.desk, site: room.site, device: null, ended: "done", ms: expect.any(Number), msg: "act" },
    { level: "info", time: expect.any(String), path: "bench.release", staff: room.people.desk, site: room.site, device: null, ended: "FORBIDDEN", ms: expect.any(Number), msg: "act" },
  ]);
  expect(told.text).not.toContain("Canary");
});

test("neither a login nor a password is in it", async () => {
  const told = await lines(async () => {
    await failure(at.browser().api.session.signIn({ login: "canary", password: PASSWORD }));
  });
  expect(told.parsed).toHaveLength(1);
  expect(told.parsed[0]).toMatchObject({ path: "session.signIn" });
  expect(told.text).not.toContain("canary");
  expect(told.text).not.toContain(PASSWORD);
});

test("health is ready, in doubt with the clock, and away with the database", async () => {
  const { room, served } = at;
  expect(await healthOf(served)).toBe("ready");
  const [, set] = room.sets;
  done(await handOut(room.db, room.by("desk"), aHire(await room.today()), await room.seen([set!])));
  await room.clock.stopAt("2020-01-01T12:00:00Z");
  expect(await healthOf(served)).toBe("clock-in-doubt");
  const reads = Object.assign(Object.create(served.db.reads) as typeof served.db.reads, { query: () => Promise.reject(new Error("gone")) });
  expect(await healthOf({ db: { ...served.db, reads } })).toBe("database-away");
});
