import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Picture } from "./picture.ts";
import { nextToSend, placeOf, takeScan, type Scan, type Step } from "./scans.ts";
import { sendAll, type ScanStore, type Sent } from "./send.ts";

const picture: Picture = {
  siteId: "site",
  timeZone: "Europe/Malta",
  at: "2026-06-01T08:00:00Z",
  toClean: [
    { setId: "s1", tag: "R-1", seq: 4 },
    { setId: "s2", tag: "R-2", seq: 9 },
  ],
  runs: [
    { bath: "Green tub", isWet: true, sets: [{ setId: "s3", tag: "R-3", seq: 5 }, { setId: "s4", tag: "R-4", seq: 6 }] },
    { bath: "Green tub", isWet: false, sets: [{ setId: "s5", tag: "R-5", seq: 7 }] },
  ],
  baths: [
    { id: "b1", label: "Green tub", expiresAt: "2026-06-02T08:00:00Z", expired: false },
    { id: "b2", label: "Old tub", expiresAt: "2026-05-31T08:00:00Z", expired: true },
  ],
};
const IN: Step = { step: "in", bathId: "b1", bath: "Green tub" };
const OUT: Step = { step: "out" };
const DRY: Step = { step: "dry", rinsed: true, purgedUnderPressure: true, dry: true };

/** A tablet: scans go in one after the other, and what was not taken is named. */
function tablet() {
  const kept: Scan[] = [];
  const place = (nth: number) => kept.findIndex((one) => one.nth === nth);
  // What is not there any more is left alone, as in the tablet's own store.
  const store: ScanStore = {
    all: () => Promise.resolve([...kept]),
    add: (scan) => Promise.resolve(void kept.push({ ...scan, nth: (kept.at(-1)?.nth ?? 0) + 1, refused: null })),
    remove: (nth) => Promise.resolve(void (place(nth) >= 0 && kept.splice(place(nth), 1))),
    mark: (nth, refused) => Promise.resolve(void (place(nth) >= 0 && kept.splice(place(nth), 1, { ...kept[place(nth)]!, refused }))),
  };
  let made = 0;
  const scan = (tag: string, says: Step | null) => {
    made += 1;
    const found = takeScan(picture, kept, tag, says, { requestId: `r${made}`, scannedAt: `2026-06-01T08:0${made % 10}:00Z` });
    if ("not" in found) return found.not;
    kept.push({ ...found.taken, nth: made, refused: null });
    return found.taken;
  };
  return { kept, store, scan };
}

describe("a scan", () => {
  test("names the set as it was last seen, and the next one names the scan before", () => {
    const { scan } = tablet();
    expect(scan("R-1", IN)).toMatchObject({ setId: "s1", after: { seq: 4 }, others: [] });
    expect(scan("R-1", OUT)).toMatchObject({ setId: "s1", after: { request: "r1" } });
    expect(scan("R-1", DRY)).toMatchObject({ setId: "s1", after: { request: "r2" } });
  });

  test("of one set of a run lifts the whole run out, and each is dried by its own scan", () => {
    const { scan, kept } = tablet();
    expect(scan("R-3", OUT)).toMatchObject({ others: ["R-4"], after: { seq: 5 } });
    expect(scan("R-4", OUT)).toBe("already-out");
    expect(placeOf(picture, kept, "R-4")).toMatchObject({ at: "drying", setId: "s4", after: { request: "r1" } });
    expect(scan("R-4", DRY)).toMatchObject({ setId: "s4", after: { request: "r1" } });
  });

  test.each<[string, string, Step | null, string]>([
    ["of a set that was not there when the network went away", "R-9", IN, "not-seen"],
    ["into no bath", "R-1", null, "choose-bath"],
    ["into no bath, of a set that is in one", "R-3", null, "already-in"],
    ["into a bath that has expired", "R-1", { step: "in", bathId: "b2", bath: "Old tub" }, "bath-expired"],
    ["into a bath nobody knows", "R-1", { step: "in", bathId: "b3", bath: "?" }, "bath-expired"],
    ["into the bath, of a set that is in it", "R-3", IN, "already-in"],
    ["into the bath, of a set that dries", "R-5", IN, "already-out"],
    ["out of the bath, of a set that was in none", "R-1", OUT, "in-first"],
    ["dry, of a set that was in no bath", "R-1", DRY, "in-first"],
    ["dry, of a set that is in the bath", "R-3", DRY, "out-first"],
    ["dry, without the purge", "R-5", { step: "dry", rinsed: true, purgedUnderPressure: false, dry: true }, "say-all-three"],
  ])("%s is not taken", (_, tag, says, not) => {
    const { scan, kept } = tablet();
    expect(scan(tag, says)).toBe(not);
    expect(kept).toEqual([]);
  });

  test("of a set with a refused scan waits until a person has seen to it", async () => {
    const { scan, store } = tablet();
    scan("R-1", IN);
    await store.mark(1, [{ code: "retired" }]);
    expect(scan("R-1", OUT)).toBe("see-to-refused");
    await store.remove(1);
    expect(scan("R-1", IN)).toMatchObject({ after: { seq: 4 } });
  });
});

/** A record like the server's: it takes a scan once, in its place, and only while nothing else happened to the set. */
function record() {
  const seqs = new Map([...picture.toClean, ...picture.runs.flatMap(({ sets }) => sets)].map(({ setId, seq }) => [setId, seq]));
  const entered: { requestId: string; setId: string; seq: number }[] = [];
  return {
    entered,
    happens: (setId: string) => void seqs.set(setId, seqs.get(setId)! + 1),
    take({ requestId, setId, after }: Scan): Sent {
      if (entered.some((one) => one.requestId === requestId && one.setId === setId)) return { answer: "done" };
      const seen = "seq" in after ? after.seq : entered.find((one) => one.requestId === after.request && one.setId === setId)?.seq;
      if (seen === undefined) return { answer: "refused", reasons: [{ code: "scan-before-missing" }] };
      if (seqs.get(setId) !== seen) return { answer: "refused", reasons: [{ code: "changed-since-scan" }] };
      seqs.set(setId, seen + 1);
      entered.push({ requestId, setId, seq: seen + 1 });
      return { answer: "done" };
    },
  };
}

describe("sending", () => {
  test("stops where the network goes away, and goes on from there", async () => {
    const { scan, store, kept } = tablet();
    for (const tag of ["R-1", "R-2"]) scan(tag, IN);
    scan("R-1", OUT);
    const server = record();
    let left = 1;
    const send = (one: Scan) => Promise.resolve<Sent>(left-- > 0 ? server.take(one) : { answer: "later", why: "network" });
    expect(await sendAll(store, "site", send)).toEqual({ recorded: 1, refused: 0, stopped: "network" });
    expect(kept.map(({ requestId }) => requestId)).toEqual(["r2", "r3"]);
    left = 9;
    expect(await sendAll(store, "site", send)).toEqual({ recorded: 2, refused: 0, stopped: null });
    expect(kept).toEqual([]);
  });

  test("sends nothing of another site", async () => {
    const { scan, store, kept } = tablet();
    scan("R-1", IN);
    expect(await sendAll(store, "elsewhere", () => Promise.reject(new Error("sent")))).toEqual({ recorded: 0, refused: 0, stopped: null });
    expect(kept).toHaveLength(1);
  });

  test("what follows a refused scan is not sent while that one lies there, and is told when it was put away", async () => {
    const { scan, store, kept } = tablet();
    scan("R-1", IN);
    scan("R-1", OUT);
    const server = record();
    server.happens("s1");
    const sent: string[] = [];
    const send = (one: Scan) => {
      sent.push(one.requestId);
      return Promise.resolve(server.take(one));
    };
    expect(await sendAll(store, "site", send)).toEqual({ recorded: 0, refused: 1, stopped: null });
    expect(sent).toEqual(["r1"]);
    await store.remove(1);
    expect(await sendAll(store, "site", send)).toEqual({ recorded: 0, refused: 1, stopped: null });
    expect(kept).toMatchObject([{ requestId: "r2", refused: [{ code: "scan-before-missing" }] }]);
  });

  test("however the network falters, each scan is recorded once and in its order, or stays with the reason why", async () => {
    const tags = fc.constantFrom("R-1", "R-2", "R-3", "R-4", "R-5", "R-9");
    // What becomes of each try: it arrives; its answer is lost on the way back; it never leaves.
    const ways = fc.array(fc.constantFrom("arrives", "answer lost", "lost"), { maxLength: 30 });
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(tags, fc.constantFrom(IN, OUT, DRY)), { maxLength: 12 }), ways, fc.array(fc.constantFrom("s1", "s2", "s3", "s5"), { maxLength: 2 }), async (scans, tries, meanwhile) => {
        const { scan, store, kept } = tablet();
        for (const [tag, says] of scans) scan(tag, says);
        const made = kept.map(({ requestId }) => requestId);
        const server = record();
        for (const setId of meanwhile) server.happens(setId);
        let nth = 0;
        const send = (one: Scan): Promise<Sent> => {
          const way = tries[nth++] ?? "arrives";
          if (way === "lost") return Promise.resolve({ answer: "later", why: "network" });
          const answer = server.take(one);
          return Promise.resolve(way === "arrives" ? answer : { answer: "later", why: "network" });
        };
        // Two sendings at once, as of two tabs that cannot see each other, until nothing more may go.
        for (let pass = 0; pass <= tries.length; pass += 1) await Promise.all([sendAll(store, "site", send), sendAll(store, "site", send)]);

        const recorded = server.entered.map(({ requestId }) => requestId);
        expect(new Set(recorded).size).toBe(recorded.length);
        for (const { requestId, setId } of server.entered) {
          const before = server.entered.filter((one) => one.setId === setId).map((one) => made.indexOf(one.requestId));
          expect(before).toEqual([...before].sort((a, b) => a - b));
          expect(made).toContain(requestId);
        }
        // Nothing is lost: what is not recorded lies there, refused or behind a refused one.
        expect([...recorded, ...kept.map(({ requestId }) => requestId)].sort()).toEqual([...made].sort());
        expect(nextToSend(kept, "site")).toBeNull();
        for (const setId of meanwhile) if (made.length > 0) expect(server.entered.filter((one) => one.setId === setId)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});
