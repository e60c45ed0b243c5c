/** Faults: how seriously a site takes them, what the technician found, and photographs under the session. */
import { contextFor } from "@hangrail/api/context";
import { photoFor } from "@hangrail/api/faults";
import { setRoles } from "@hangrail/db/people-acts";
import { FAULTS, faultOf, type FaultCode } from "@hangrail/rules/faults";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { aRequest, codeOf, digestOf, failure, makeApiRoom, type ApiRoom, type Browser, type Caller } from "../support/api.ts";
import { done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let technician: Caller;
let desk: Caller;
let manager: Caller;
beforeAll(async () => {
  at = await makeApiRoom({ sets: 8 });
  [technician, desk, manager] = (await Promise.all([at.as("technician"), at.as("desk"), at.as("manager")])).map(({ api }) => api) as [Caller, Caller, Caller];
});
afterAll(() => at.close());

const set = (nth: number): RoomSet => at.room.sets[nth]!;
async function report(of: RoomSet, code: FaultCode, component: string | null = null): Promise<string> {
  return done(await desk.bench.reportFault({ requestId: aRequest(), setId: of.id, code, component, where: "desk", words: "It hissed at the stern" })).fault;
}
const shown = async (of: RoomSet) => (await desk.sets.one({ tag: of.tag })).faults;
const severityOf = async (code: FaultCode) => (await desk.faults.severities()).find((line) => line.code === code)!;

describe("the site's own severities", () => {
  test("are the list's until the manager sets another, and count for what is reported from then on", async () => {
    expect(await severityOf("SS-05")).toMatchObject({ severity: "watch", listed: "watch", may: ["watch", "hold", "out"], setBy: null });
    await report(set(0), "SS-05");
    expect((await desk.desk.lookUp({ tags: [set(0).tag], hire: null })).sets[0]!.state).toBe("ready");

    expect(await manager.faults.tune({ code: "SS-05", severity: "hold" })).toEqual({ answer: "done" });
    expect(await severityOf("SS-05")).toMatchObject({ severity: "hold", setBy: "Mira Holt" });
    await report(set(1), "SS-05");
    expect((await desk.desk.lookUp({ tags: [set(1).tag], hire: null })).sets[0]!.state).toBe("tagged-out");
    // What was reported before keeps the severity it was reported with.
    expect((await shown(set(0))).map(({ severity }) => severity)).toEqual(["watch"]);

    await manager.faults.tune({ code: "SS-05", severity: "watch" });
    expect(await severityOf("SS-05")).toMatchObject({ severity: "watch" });
  });

  test("are never milder than the list for what tags a set out, whoever asks and whatever a row says", async () => {
    const before = await digestOf(at.owner);
    for (const { code, severity } of FAULTS.filter((line) => line.severity === "out")) {
      for (const milder of ["watch", "hold"] as const) {
        expect(await failure(manager.faults.tune({ code, severity: milder }))).toMatchObject({ code: "BAD_REQUEST", message: expect.stringContaining("may not take it more lightly") as unknown });
      }
      expect(severity).toBe("out");
    }
    expect(await digestOf(at.owner)).toBe(before);
    await at.owner.query("INSERT INTO fault_tuning (site_id, code, severity, set_by) VALUES ($1, 'SS-02', 'watch', $2)", [at.room.site, at.room.people.manager]);
    expect(await severityOf("SS-02")).toMatchObject({ severity: "out" });
    await report(set(2), "SS-02", set(2).parts.primary);
    expect((await shown(set(2))).map(({ severity }) => severity)).toEqual(["out"]);
  });

  test("of one site say nothing about another", async () => {
    const elsewhere = await at.room.openSite("Beach hut");
    done(await setRoles(at.room.db, { ...at.room.by("manager"), site: elsewhere }, at.room.people.manager, ["manager"]));
    const there = (await at.signedIn(at.room.people.manager, elsewhere)).api;
    await there.faults.tune({ code: "SS-10", severity: "out" });
    expect(await severityOf("SS-10")).toMatchObject({ severity: faultOf("SS-10").severity, setBy: null });
  });
});

describe("what the technician found", () => {
  test("may be another fault of another component; the set stays tagged out", async () => {
    const faultId = await report(set(3), "GN-04");
    const found = { requestId: aRequest(), faultId, code: "SS-08", component: set(3).parts.alternate, words: "Sand under the valve" } as const;
    expect(await technician.faults.confirm(found)).toEqual({ answer: "done" });
    expect(await technician.faults.confirm(found)).toEqual({ answer: "done", repeat: true });
    expect((await shown(set(3)))[0]).toMatchObject({ code: "GN-04", component: null, found: { code: "SS-08", component: set(3).parts.alternate, words: "Sand under the valve", by: "Tove Stone" } });
    expect((await desk.desk.lookUp({ tags: [set(3).tag], hire: null })).sets[0]!.state).toBe("tagged-out");
    expect(await technician.faults.confirm({ ...found, requestId: aRequest() })).toMatchObject({ answer: "refused", code: "already-confirmed" });
    expect(await technician.faults.confirm({ ...found, requestId: aRequest(), faultId: await report(set(4), "GN-04") })).toMatchObject({ answer: "refused", code: "not-fitted" });
    expect(await codeOf(desk.faults.confirm(found))).toBe("FORBIDDEN");
  });
});

describe("a photograph", () => {
  const JPEG = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(400, 7)]);
  const add = (faultId: string, bytes: Buffer, requestId = aRequest()) => desk.faults.addPhoto({ requestId, faultId, base64: bytes.toString("base64") });
  const look = async (browser: Browser, photo: string) => photoFor(await contextFor(at.served, browser.cookies, new Headers()), photo);

  test("is shown with its fault, byte for byte, to whoever is signed in at its site, and to nobody else", async () => {
    const faultId = await report(set(5), "HO-01");
    const requestId = aRequest();
    const answer = await add(faultId, JPEG, requestId);
    const { photo } = done(answer);
    expect(await add(faultId, JPEG, requestId)).toEqual({ ...answer, repeat: true });
    expect((await shown(set(5)))[0]!.photos).toEqual([photo]);
    expect((await technician.workOrders.queue()).items.find(({ fault }) => fault?.id === faultId)!.fault!.photos).toEqual([photo]);

    const found = await look(await at.as("wash-room"), photo);
    expect(found?.mediaType).toBe("image/jpeg");
    expect(found?.bytes.equals(JPEG)).toBe(true);
    expect(await look(at.browser(), photo)).toBeNull();
    expect(await look(await at.as("desk"), "no-id")).toBeNull();
    expect(await look(await at.as("desk"), aRequest())).toBeNull();
    const elsewhere = await at.room.openSite("Island");
    expect(await look(await at.signedIn(at.room.people.manager, elsewhere), photo)).toBeNull();
    expect((await look(await at.as("manager"), photo))?.bytes.length).toBe(JPEG.length);
  });

  test.each([
    ["what is no picture", Buffer.from("<svg onload=alert(1)>")],
    ["a page that calls itself a picture", Buffer.from("<!doctype html><script>alert(1)</script>")],
    ["more than 2 MB", Buffer.concat([JPEG, Buffer.alloc(2_000_000)])],
    ["nothing", Buffer.alloc(0)],
  ])("%s is refused in words, and nothing is written", async (_, bytes) => {
    const faultId = (await shown(set(5)))[0]!.id;
    const before = await digestOf(at.owner);
    const error = await failure(add(faultId, bytes));
    expect(error.code).toBe("BAD_REQUEST");
    expect(error.message).toMatch(/photograph/i);
    expect(await digestOf(at.owner)).toBe(before);
  });

  test("is the seventh of a fault no more", async () => {
    const faultId = await report(set(6), "HO-02");
    for (let nth = 0; nth < 6; nth += 1) done(await add(faultId, Buffer.concat([JPEG, Buffer.from([nth])])));
    expect(await add(faultId, JPEG)).toMatchObject({ answer: "refused", code: "enough-photos" });
  });

  test("may be added to a set that is sealed: it touches nothing", async () => {
    const faultId = await report(set(7), "GN-03");
    expect(await add(faultId, JPEG)).toMatchObject({ answer: "done" });
  });
});
