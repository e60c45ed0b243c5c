import fc from "fast-check";
import { expect, test } from "vitest";
import { aModelBuild, anAssembledPart, wholeAssembly } from "../testing/index.ts";
import { judgeAssembly } from "./ports.ts";
import type { AssembledPart } from "./ports.ts";

const hose = (component: string, plugsInto: "lp-3/8" | "lp-1/2" | "hp-7/16" | null) => anAssembledPart({ component, role: "hose", build: aModelBuild({ plugsInto }) });
const firstStage = (ports: Partial<NonNullable<AssembledPart["build"]>>) => ({ "first-stage": { build: aModelBuild({ balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, ...ports }) } });

test("a whole set with a port for each part fits", () => {
  expect(judgeAssembly(wholeAssembly())).toEqual({ verdict: "fits", faults: [], doubts: [] });
  expect(judgeAssembly([...wholeAssembly(), anAssembledPart({ role: "transmitter" }), hose("dry suit", "lp-3/8")]).verdict).toBe("fits");
});

test("ports are counted side by side, thread by thread", () => {
  expect(judgeAssembly([...wholeAssembly(firstStage({ hpPorts: 1 })), anAssembledPart({ role: "transmitter" })]).faults).toEqual([{ code: "too-few-ports", plug: "hp-7/16", used: 2, there: 1 }]);
  expect(judgeAssembly(wholeAssembly(firstStage({ lpPorts: 2 }))).faults).toEqual([{ code: "too-few-ports", plug: "lp-3/8", used: 3, there: 2 }]);
  const half = { primary: { build: aModelBuild({ plugsInto: "lp-1/2" }) } } as const;
  expect(judgeAssembly(wholeAssembly(half)).faults).toEqual([{ code: "too-few-ports", plug: "lp-1/2", used: 1, there: 0 }]);
  expect(judgeAssembly(wholeAssembly({ ...half, ...firstStage({ lpHalfInchPorts: 1, lpPorts: 2 }) })).verdict).toBe("fits");
});

test("a low-pressure hose with a high-pressure thread is refused by name", () => {
  expect(judgeAssembly(wholeAssembly({ "inflator-hose": { build: aModelBuild({ plugsInto: "hp-7/16" }) } })).faults).toEqual([
    { code: "low-pressure-part-on-high-port", component: "inflator-hose", plug: "hp-7/16" },
  ]);
  expect(judgeAssembly(wholeAssembly({ gauge: { build: aModelBuild({ plugsInto: "lp-3/8" }) } })).faults).toEqual([
    { code: "high-pressure-part-on-low-port", component: "gauge", plug: "lp-3/8" },
  ]);
});

test("a part without a plug hangs on a hose of its side, which takes the port", () => {
  const loose = { primary: { build: aModelBuild() }, gauge: { build: aModelBuild() } };
  expect(judgeAssembly([...wholeAssembly(loose), hose("h1", "lp-3/8"), hose("h2", "hp-7/16")])).toEqual({ verdict: "fits", faults: [], doubts: [] });
  expect(judgeAssembly([...wholeAssembly(loose), hose("h1", "lp-3/8")]).doubts).toEqual([{ code: "plug-unknown", component: "gauge" }]);
  const tight = judgeAssembly([...wholeAssembly({ ...loose, ...firstStage({ lpPorts: 3 }) }), hose("h1", "lp-3/8"), hose("h2", "hp-7/16"), hose("h3", "lp-3/8")]);
  expect(tight.faults).toEqual([{ code: "too-few-ports", plug: "lp-3/8", used: 4, there: 3 }]);
});

test("what nobody recorded is not judged, each part by name", () => {
  expect(judgeAssembly(wholeAssembly({ "first-stage": { build: null } }))).toEqual({ verdict: "not-judged", faults: [], doubts: [{ code: "build-unknown", component: "first-stage" }] });
  expect(judgeAssembly(wholeAssembly({ primary: { build: null, pairingApproved: null } })).doubts).toEqual([
    { code: "pairing-unknown", component: "primary" },
    { code: "build-unknown", component: "primary" },
  ]);
  expect(judgeAssembly(wholeAssembly(firstStage({ hpPorts: null }))).doubts).toEqual([{ code: "ports-unknown", component: "first-stage", plug: "hp-7/16" }]);
  expect(judgeAssembly([...wholeAssembly(), hose("h1", null)]).doubts).toEqual([{ code: "plug-unknown", component: "h1" }]);
});

test("pairings, missing parts and places taken twice are named", () => {
  expect(judgeAssembly(wholeAssembly({ alternate: { pairingApproved: false } })).faults).toEqual([{ code: "not-paired", component: "alternate" }]);
  const twice = [...wholeAssembly(), anAssembledPart({ role: "primary", component: "alternate" })].filter(({ role }) => role !== "gauge");
  expect(judgeAssembly(twice).faults).toEqual([
    { code: "part-missing", part: "gauge" },
    { code: "same-component-twice", component: "alternate" },
    { code: "place-taken-twice", role: "primary", components: ["primary", "alternate"] },
  ]);
  expect(judgeAssembly([]).verdict).toBe("refused");
});

test("forgetting one thing about a set never makes it fit", () => {
  const forget = fc.constantFrom<(part: AssembledPart) => AssembledPart>(
    (part) => ({ ...part, build: null }),
    (part) => ({ ...part, build: part.build && { ...part.build, plugsInto: null } }),
    (part) => ({ ...part, build: part.build && { ...part.build, lpPorts: null } }),
    (part) => ({ ...part, build: part.build && { ...part.build, hpPorts: null } }),
    (part) => ({ ...part, pairingApproved: null }),
  );
  const set = fc.record({ lpPorts: fc.integer({ min: 2, max: 4 }), hpPorts: fc.integer({ min: 0, max: 2 }), hoses: fc.subarray(["lp-3/8", "hp-7/16"] as const) })
    .map(({ hoses, ...ports }) => [...wholeAssembly(firstStage(ports)), ...hoses.map((plug, at) => hose(`h${at}`, plug))]);
  fc.assert(
    fc.property(set, fc.nat(6), forget, (set, which, forget) => {
      const before = judgeAssembly(set);
      const after = judgeAssembly(set.map((part, at) => (at === which ? forget(part) : part)));
      const changed = set[which]?.build;
      // A part without a plug may hang on a hose that took a port of its own before.
      const hangs = changed !== null && changed?.plugsInto !== null && set.some(({ role }) => role === "hose");
      if (after.verdict === "fits" && !hangs) expect(before.verdict).toBe("fits");
    }),
    { numRuns: 1000 },
  );
});
