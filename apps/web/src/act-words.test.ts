import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { actLook } from "./act-looks.ts";
import { actWords, lifeWords, recordedActs, type ToldAct } from "./act-words.ts";

const migrations = join(import.meta.dirname, "../../../prisma/migrations");
const id = "0b54ab52-7a0f-4a0e-8d7f-5d0d3c5b9d10";
const other = "5d1b7c1e-6f6e-4c38-9a53-2f7a7b1a0c11";
const told = (content: ToldAct["content"], names: ToldAct["names"] = {}) => ({ content, names });

/** The acts the database knows, from its own list. */
function actsOfTheDatabase(): string[] {
  const sql = readdirSync(migrations, { withFileTypes: true })
    .filter((one) => one.isDirectory())
    .map((one) => readFileSync(join(migrations, one.name, "migration.sql"), "utf8"))
    .join("\n");
  const lists = [...sql.matchAll(/INSERT INTO act_kind[^;]*;/g)].map(([list]) => list);
  return lists.flatMap((list) => [...list.matchAll(/\(\s*'([a-z-]+)'/g)].map((match) => match[1] ?? ""));
}

test("every act the database can record has its words here, and no other", () => {
  const acts = actsOfTheDatabase();
  expect(acts.length).toBeGreaterThan(20);
  expect([...recordedActs].sort()).toEqual([...new Set(acts)].sort());
});

test("every act has a look of its own and makes a whole sentence, even of an entry that holds nothing", () => {
  expect(new Set(recordedActs.map((act) => actLook(act).word)).size).toBe(recordedActs.length);
  for (const act of recordedActs) {
    const words = actWords(act, told({}), "metric");
    expect(words).toMatch(/^[A-Z].*\.$/s);
    expect(words).not.toMatch(/undefined|null|NaN|\[object/);
  }
});

test("a hand-out tells its terms", () => {
  const content = { backOn: "2026-11-28", dives: 4, depthM: 18, o2Tenths: 320, waterTenthsC: 80, cylinderConnection: "din-232", cylinderBar: 232, teaching: true };
  expect(actWords("handed-out", told(content), "metric")).toBe("Handed out until 28 Nov 2026, 4 dives planned, to 18 m, 32 % oxygen, water 8 °C, cylinder DIN 232 bar at 232 bar, for teaching.");
});

test("estimated dives are told as estimated", () => {
  const back = { dives: 2, estimated: true, waterKind: "sea", problem: false, missing: [id] };
  expect(actWords("taken-back", told(back, { [id]: "F-1 (Tarnfell Beck G)" }), "metric")).toBe("Taken back after 2 dives (estimated: nobody said) in the sea. No problem reported. Missing: F-1 (Tarnfell Beck G).");
});

test("a swap names both components", () => {
  const names = { [id]: "P-2 (Tarnfell Beck S)", [other]: "P-1 (Tarnfell Beck S)" };
  expect(actWords("fitted", told({ on: id, off: other, position: "primary", why: "torn diaphragm" }, names), "metric")).toBe("P-2 (Tarnfell Beck S) fitted as primary second stage in place of P-1 (Tarnfell Beck S): torn diaphragm.");
});

test("a fault is told in the words of its list", () => {
  expect(actWords("fault-reported", told({ code: "SS-02", severity: "out", component: null, where: "boat" }), "metric")).toContain("on the boat: SS-02, Flows freely and does not stop (tagged out");
});

test("an act of a later version is shown and not passed off as another", () => {
  expect(lifeWords({ act: "sung-to", content: {}, names: {} }, "metric")).toMatchObject({ word: "sung-to", icon: "info" });
});
