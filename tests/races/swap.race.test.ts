/**
 * Two technicians fit a hose to the same first stage at once, and one port is free. Each swap is judged
 * on the set as it was read, outside the database; so the act asks whether the set is still that one.
 */
import { addModel, refit } from "@hangrail/db/acts";
import { acceptBuild, type BuildInput } from "@hangrail/db/bench-acts";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, digestOf, makeApiRoom, type ApiRoom, type Caller } from "../support/api.ts";
import { done, MAKER, type RoomSet } from "../support/kit-room.ts";
import { expectWholeRecord, mutate, type Mutation } from "./rig.ts";

const NOT_ASKED: Mutation = { of: "refit", was: "seq IS DISTINCT FROM p_seq", is: "false" };
const TURNS = 100;

let at: ApiRoom;
let set: RoomSet;
let technicians: readonly [Caller, Caller];
let hoses: readonly [string, string];

beforeAll(async () => {
  at = await makeApiRoom({ sets: 1 });
  set = at.room.sets[0]!;
  technicians = [(await at.as("technician")).api, (await at.as("technician")).api];
  const by = () => at.room.by("technician");
  const nothing: BuildInput = { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: null, serviceMinutes: null, inspectionMinutes: null, page: "Manual 4, page 14" };
  const { model: hose } = done(await addModel(at.room.db, by(), "hose", MAKER, "Low hose"));
  // Two second stages hang on three ports.
  done(await acceptBuild(at.room.db, by(), at.room.models.first, { ...nothing, balance: "balanced", hpPorts: 1, lpPorts: 3, lpHalfInchPorts: 0 }));
  done(await acceptBuild(at.room.db, by(), at.room.models.gauge, { ...nothing, plugsInto: "hp-7/16" }));
  for (const model of [at.room.models.second, hose]) done(await acceptBuild(at.room.db, by(), model, { ...nothing, plugsInto: "lp-3/8" }));
  const { rows } = await at.owner.query<{ id: string }>("INSERT INTO component (model_id, site_id, serial) SELECT $1, $2, x FROM unnest(ARRAY['H-1', 'H-2']) x RETURNING id", [hose, at.room.site]);
  hoses = [rows[0]!.id, rows[1]!.id];
});
afterAll(() => at.close());

const swap = (who: 0 | 1, off: string | null, on: string | null) => technicians[who].bench.refit({ requestId: aRequest(), setId: set.id, off, on, position: "hose", words: "Longer hose" });

/** Both at once, the one or the other first: which of the two hoses were fitted, and what the other technician was told. */
async function bothFit(turn: number): Promise<{ fitted: number[]; told: string[] }> {
  const answers = turn % 2 === 0 ? await Promise.all([swap(0, null, hoses[0]), swap(1, null, hoses[1])]) : (await Promise.all([swap(1, null, hoses[1]), swap(0, null, hoses[0])])).toReversed();
  const fitted = answers.flatMap(({ answer }, which) => (answer === "done" ? [which] : []));
  for (const which of fitted) expect((await swap(0, hoses[which]!, null)).answer).toBe("done");
  return { fitted, told: answers.flatMap((answer) => (answer.answer === "refused" ? [answer.code] : [])) };
}

test("one of two swaps that each find the last port free is recorded", async () => {
  const won = [0, 0];
  const told = new Map<string, number>();
  for (let turn = 0; turn < TURNS; turn += 1) {
    const one = await bothFit(turn);
    expect(one.fitted).toHaveLength(1);
    for (const which of one.fitted) won[which]! += 1;
    for (const code of one.told) told.set(code, (told.get(code) ?? 0) + 1);
  }
  await expectWholeRecord(at.owner);
  expect(won[0]! * won[1]!).toBeGreaterThan(0);
  // The other came too late, or was judged after the first.
  expect([...told.keys()].filter((code) => code !== "set-changed" && code !== "does-not-fit")).toEqual([]);
  expect(told.get("set-changed") ?? 0).toBeGreaterThan(0);
});

test("without the question whether the set is still the one that was judged, both go on", async () => {
  const repair = await mutate(at.owner, NOT_ASKED);
  let most = 0;
  for (let turn = 0; turn < 3 * TURNS && most < 2; turn += 1) most = (await bothFit(turn)).fitted.length;
  await repair();
  expect(most).toBe(2);
});

test("taking off alone asks for no number; fitting without one, or on an old one, is refused and writes nothing", async () => {
  const { seq } = await at.room.asSeen(set);
  const fit = (known: number | null) => refit(at.room.db, at.room.by("technician"), { id: set.id, seq: known }, null, hoses[0], "hose", "Longer hose");
  const before = await digestOf(at.owner);
  for (const known of [null, seq - 1, seq + 1]) expect(await fit(known)).toEqual({ answer: "refused", code: "set-changed", facts: { tag: set.tag } });
  expect(await digestOf(at.owner)).toBe(before);
  done(await fit(seq));
  done(await refit(at.room.db, at.room.by("technician"), { id: set.id, seq: null }, hoses[0], null, "hose", "Back on the shelf"));
});
