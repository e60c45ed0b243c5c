import { expect, test } from "vitest";
import { breakWords, checkpointWords, factWords } from "./record-words.ts";

test("a break is said with its set, its entry and what happened to it", () => {
  const at = { chain: "c", seq: 12, of: "R-014" };
  expect(breakWords({ ...at, why: "content" })).toBe("R-014, entry 12: changed after it was written.");
  expect(breakWords({ ...at, why: "gap" })).toBe("R-014, entry 12: missing.");
});

test("a fact is said with what it is and what differs", () => {
  const at = { chain: "c", seq: 12, of: "R-014" };
  expect(factWords({ ...at, fact: "return", differs: ["dives"] })).toBe("R-014, entry 12: a return is not what the record tells (dives).");
  expect(factWords({ ...at, fact: "release", differs: ["missing"] })).toBe("R-014, entry 12: tells of a release, which is not there any more.");
  expect(factWords({ ...at, fact: "photo", differs: ["act", "at", "by"], seq: null })).toBe("R-014: a photograph that no entry tells of.");
});

test("what a checkpoint says of another site's set does not name it", () => {
  expect(checkpointWords({ number: 3, why: "lost-head", of: null, seq: null })).toBe("Checkpoint 3: an entry of another site that it covers is gone or was written anew.");
  expect(checkpointWords({ number: 3, why: "lost-head", of: "R-014", seq: 40 })).toBe("Checkpoint 3: entry 40 of R-014, which it covers, is gone or was written anew.");
});
