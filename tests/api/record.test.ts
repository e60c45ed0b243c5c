/** The record as a manager sees it: verified, written out, put right by further entries. */
import { generateKeyPairSync } from "node:crypto";
import { checkpointKey } from "@hangrail/api/checkpoints";
import { contextFor } from "@hangrail/api/context";
import { openKitRoom } from "@hangrail/api/kit-room";
import { bundleFor } from "@hangrail/api/record";
import { appRouter } from "@hangrail/api/router";
import { makeCheckpoint } from "@hangrail/api/checkpoints";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, failure, makeApiRoom, type ApiRoom, type Browser } from "../support/api.ts";
import { done } from "../support/kit-room.ts";

let at: ApiRoom;
let manager: Browser;
const key = checkpointKey(generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());
beforeAll(async () => {
  at = await makeApiRoom({ sets: 3 });
  manager = await at.as("manager");
});
afterAll(() => at.close());

test("a centre nobody tampered with holds, asked for twice at once", async () => {
  const [one, two] = await Promise.all([manager.api.record.verify(), manager.api.record.verify()]);
  expect(one).toMatchObject({ sound: true, breaks: [], facts: [], checkpoints: { count: 0, newest: null } });
  expect(one.entries).toBeGreaterThanOrEqual(40);
  expect(two.entries).toBe(one.entries);
});

test("without a key nothing is signed, and the manager hears why", async () => {
  expect(await failure(manager.api.record.makeCheckpoint({ requestId: aRequest() }))).toMatchObject({ code: "PRECONDITION_FAILED" });
  expect(await manager.api.record.checkpoints()).toEqual({ key: null, newest: [] });
});

test("with a key a checkpoint is made, shown with its fingerprint and given out without a name", async () => {
  const served = openKitRoom({ appUrl: at.room.database.url, actConnections: 2, readConnections: 2 }, { checkpointKey: key });
  try {
    const caller = appRouter.createCaller(await contextFor(served, manager.cookies, new Headers()));
    expect(await caller.record.makeCheckpoint({ requestId: aRequest() })).toMatchObject({ answer: "done", number: 1 });
    const { newest } = await caller.record.checkpoints();
    expect(newest).toMatchObject([{ number: 1, madeBy: "Mira Holt", fingerprint: expect.stringMatching(/^([0-9a-f]{4} ){4}[0-9a-f]{4}$/) }]);
    expect(newest[0]!.file).not.toContain("Mira");
    expect(await caller.record.verify()).toMatchObject({ sound: true, checkpoints: { count: 1 } });
  } finally {
    await served.close();
  }
});

test("what a checkpoint tells of another site's set names neither the set nor its entry", async () => {
  const elsewhere = await at.room.openSite("Lagoon Dive Centre");
  done(await makeCheckpoint(at.room.db, key, null));
  const abroad = await at.signedIn(at.room.people.manager, elsewhere);
  await at.owner.query("ALTER TABLE checkpoint_head DISABLE TRIGGER checkpoint_head_no_update");
  await at.owner.query("UPDATE checkpoint_head SET hash = sha256('x') WHERE chain = $1", [at.room.sets[0]!.id]);
  const report = await abroad.api.record.verify();
  expect(report.checkpoints.problems.filter(({ why }) => why === "lost-head")).toEqual([{ number: 1, why: "lost-head", of: null, seq: null }]);
  expect(JSON.stringify(report)).not.toContain(at.room.sets[0]!.id);
  expect((await manager.api.record.verify()).checkpoints.problems.find(({ why }) => why === "lost-head")).toMatchObject({ of: at.room.sets[0]!.tag });
});

test("a correction is a further entry with its reason; the first one stays as it was", async () => {
  const set = at.room.sets[1]!;
  const technician = await at.as("technician");
  const before = (await manager.api.sets.life({ setId: set.id, before: null })).entries;
  expect(await technician.api.record.correct({ requestId: aRequest(), setId: set.id, entry: 2, words: "It was the other serial" })).toMatchObject({ answer: "done" });
  expect(await technician.api.record.correct({ requestId: aRequest(), setId: set.id, entry: 900, words: "?" })).toMatchObject({ answer: "refused", code: "no-such-entry" });
  const after = (await manager.api.sets.life({ setId: set.id, before: null })).entries;
  expect(after[0]).toMatchObject({ act: "corrected", content: { entry: 2, words: "It was the other serial" } });
  expect(after.slice(1)).toEqual(before);
});

test("the evidence bundle is the manager's of that site, and nobody else's", async () => {
  const tag = at.room.sets[2]!.tag;
  const asked = async (browser: Browser, wanted = tag) => bundleFor(await contextFor(at.served, browser.cookies, new Headers()), wanted);
  const bundle = await asked(manager);
  expect(bundle?.fileName).toBe(`evidence-${tag}.zip`);
  expect(bundle!.bytes.subarray(0, 2).toString()).toBe("PK");
  for (const role of ["desk", "wash-room", "technician"] as const) expect(await asked(await at.as(role))).toBeNull();
  expect(await asked(at.browser())).toBeNull();
  expect(await asked(manager, "../x")).toBeNull();
  expect(await asked(manager, "X-99")).toBeNull();
  const elsewhere = await at.room.openSite("Reef Dive Centre");
  expect(await asked(await at.signedIn(at.room.people.manager, elsewhere))).toBeNull();
});
