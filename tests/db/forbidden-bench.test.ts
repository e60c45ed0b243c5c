/** What must never be true of the bench is refused by the tables themselves, also to their owner. */
import { acceptBuild, addPhoto, clearNotice, closeWorkOrder, confirmFault, liftEvidence, noteCustody, openNotice, openWorkOrder, orderKit, parkWorkOrder, recordWork, reportFault, setModelMoney, takeWorkOrder, tuneFault } from "@hangrail/db/bench-acts";
import { act } from "@hangrail/db/acts";
import { day } from "@hangrail/rules/calendar";
import type pg from "pg";
import { beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

let database: TestDatabase;
let room: KitRoom;
let plain: RoomSet;
let sealed: RoomSet;
const ids: Record<"taken" | "parked" | "waiting" | "dropped" | "fault" | "notice" | "kitOrder", string> = {} as never;

beforeAll(async () => {
  database = await freshDatabase();
  const made = await makeKitRoom(database, { sets: 4 });
  room = made;
  const [first, second, third, fourth] = made.sets as [RoomSet, RoomSet, RoomSet, RoomSet];
  [plain, sealed] = [first, second];
  const technician = () => room.by("technician");
  const open = async ({ id }: RoomSet) => done(await openWorkOrder(room.db, technician(), id, { kind: "service", fault: null, notice: null, weekOn: null, words: "" })).order;
  const take = async (order: string) => (done(await takeWorkOrder(room.db, technician(), order)), order);
  ids.dropped = await open(first);
  done(await closeWorkOrder(room.db, technician(), ids.dropped, { outcome: "dropped", minutes: null, words: "Not needed" }));
  ids.waiting = await open(first);
  ids.taken = await take(await open(third));
  done(await recordWork(room.db, technician(), third.id, { kind: "service", components: [third.parts.primary], oxygenClean: false, words: "Kit", order: ids.taken, kits: room.kitsFor([third.parts.primary]) }));
  ids.parked = await take(await open(fourth));
  done(await parkWorkOrder(room.db, technician(), ids.parked, "No seals", null));
  ids.fault = done(await reportFault(room.db, room.by("desk"), first.id, { code: "SS-07", severity: "watch", component: null, where: "desk", words: "" })).fault;
  done(await confirmFault(room.db, technician(), ids.fault, { code: "SS-02", component: first.parts.primary, words: "Seat worn" }));
  done(await addPhoto(room.db, technician(), ids.fault, "image/png", Buffer.from("photo")));
  done(await tuneFault(room.db, room.by("manager"), "SS-07", "out"));
  done(await reportFault(room.db, room.by("desk"), sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
  done(await noteCustody(room.db, technician(), sealed.id, { from: "Boat", to: "Shop", place: "Safe", words: "" }));
  ids.notice = done(await openNotice(room.db, technician(), { title: "Seats", reference: "N-1", hazard: "h", remedy: "r", publishedOn: day("2026-01-01"), ranges: [room.firstStageRange(plain)] })).notice;
  done(await clearNotice(room.db, technician(), ids.notice, plain.parts["first-stage"], "New seat"));
  done(await acceptBuild(room.db, technician(), room.models.first, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 20, page: "p" }));
  ids.kitOrder = done(await orderKit(room.db, technician(), room.kit, 3, await room.today())).order;
  done(await setModelMoney(room.db, room.by("manager"), room.models.first, { priceCents: 1, resaleCents: null, lifeYears: null }));
  await database.ownerPool.query("INSERT INTO bench_curve (test_id, component_id, supply_cbar, points) SELECT test_id, component_id, 20000, '[[0, 950]]' FROM bench_reading LIMIT 1");
  done(await act(room.db, "set_bench_hours", [room.by("manager"), { staff: room.people.technician, weekOn: null, minutes: 600, words: "" }]));
  done(await act(room.db, "make_bookings", [room.by("desk"), JSON.stringify([{ fromOn: "2026-07-01", untilOn: "2026-07-02", cold: false, o2Tenths: 210, teaching: false, sets: 2, words: "", source: "typed" }])]));
  await database.ownerPool.query(`
    INSERT INTO checkpoint (number, at, chains, entries, root, public_key, signature) VALUES (1, now(), 1, 1, sha256('r'), sha256('k'), sha256('s') || sha256('t'));
    INSERT INTO checkpoint_head (number, chain, seq, hash) SELECT 1, chain, seq, hash FROM chain_head LIMIT 1`);
  done(await act(room.db, "open_calendar", [technician(), Buffer.from("hash"), "On the wall"]));
  const [line] = await room.seen([third]);
  const lines = [{ set: line!.id, seq: line!.seq, kind: "service", weekOn: "2026-07-06", locked: false, why: {} }];
  done(await act(room.db, "accept_plan", [room.by("manager"), { fromOn: "2026-07-06", weeks: 4, cost: 0, bound: 0, gapPpm: 0, settings: {}, words: "", lines }]));
});

/** What a statement is refused with, or "let in"; nothing stays behind. */
async function refusal(sql: string, values: unknown[] = [], pool: pg.Pool = database.ownerPool): Promise<string> {
  const client = await pool.connect();
  try {
    await client.query("BEGIN");
    const { rowCount } = await client.query(sql, values);
    return rowCount === 0 ? "touched nothing" : "let in";
  } catch (error) {
    const { constraint, code, message } = error as pg.DatabaseError;
    return constraint ?? (code === "HR409" ? message : `${code} ${message}`);
  } finally {
    await client.query("ROLLBACK");
    client.release();
  }
}

/** Every table of the bench, and what may be filled in afterwards, once. `null` = nothing at all. */
const TABLES: Readonly<Record<string, readonly string[] | null>> = {
  checkpoint: null, checkpoint_head: null,
  bench_limit: null, model_build: null, model_kit_list: null, model_kit_line: null, kit_movement: null, gauge_calibration: null, bench_test: null, bench_reading: null,
  bench_curve: null, fault_photo: null, fault_tuning: null, notice_range: null, custody_note: null, model_money: null, bench_hours: null, plan: null, plan_line: null,
  work_order: ["taken_seq", "taken_at", "taken_by", "done_seq", "done_at", "done_by", "outcome", "minutes", "done_words"],
  work_order_park: ["until_at", "until_by"], kit_order: ["closed_at", "closed_by", "received"], test_gauge: ["retired_at"],
  booking: ["withdrawn_at", "withdrawn_by"], calendar_feed: ["revoked_at"],
};

async function columnsOf(table: string): Promise<string[]> {
  const { rows } = await database.ownerPool.query<{ name: string }>("SELECT column_name AS name FROM information_schema.columns WHERE table_schema = 'public' AND table_name = $1 AND is_identity = 'NO'", [table]);
  return rows.map(({ name }) => name);
}

describe("what is recorded", () => {
  test("names every table of these migrations that history stands in", async () => {
    const { rows } = await database.ownerPool.query<{ name: string }>("SELECT tgrelid::regclass::text AS name FROM pg_trigger WHERE tgname = tgrelid::regclass::text || '_no_delete'");
    const earlier = ["record_entry", "hire", "hire_line", "component_use", "component_work", "release", "fitting", "fault", "cleaning_run", "cleaning_run_set", "bath", "notice", "notice_match", "model", "model_limits", "pairing",
      "disinfectant", "disinfectant_approval", "authorisation", "staff_role", "regulator_set", "component", "component_import", "command", "act_kind", "backup_run", "restore", "restored_set"];
    expect(rows.map(({ name }) => name).filter((name) => !earlier.includes(name)).sort()).toEqual([...Object.keys(TABLES), "kit"].sort());
  });

  test.each([...Object.keys(TABLES), "kit"])("%s loses no row", async (table) => {
    expect(await refusal(`DELETE FROM ${table}`)).toBe(`DELETE on ${table} is refused: history is only ever added to`);
    expect(await refusal(`TRUNCATE ${table} CASCADE`)).toMatch(/^TRUNCATE on \w+ is refused: history is only ever added to$/);
  });

  test.each(Object.keys(TABLES))("%s stays as written", async (table) => {
    const fillable = TABLES[table]!;
    const columns = await columnsOf(table);
    expect(columns.length).toBeGreaterThan(2);
    for (const column of columns) {
      if (fillable === null) expect(await refusal(`UPDATE ${table} SET ${column} = ${column}`)).toBe(`UPDATE on ${table} is refused: history is only ever added to`);
      else if (!fillable.includes(column)) expect([column, await refusal(`UPDATE ${table} SET ${column} = ${await another(table, column)}`)]).toEqual([column, `UPDATE on ${table} is refused: what was written stays as written`]);
    }
  });

  /** Some value that stands in no row. */
  async function another(table: string, column: string): Promise<string> {
    const { rows } = await database.ownerPool.query<{ type: string }>("SELECT data_type AS type FROM information_schema.columns WHERE table_schema = 'public' AND table_name = $1 AND column_name = $2", [table, column]);
    const values: Record<string, string> = { uuid: "gen_random_uuid()", text: "'other'", date: "'1999-01-04'", integer: "77", boolean: `NOT ${column}`, bigint: "77", bytea: "'\\x00'", "timestamp with time zone": "'1999-01-01T00:00:00Z'" };
    return values[rows[0]!.type]!;
  }

  test.each([
    ["work_order", "dropped", "outcome = 'done'"], ["work_order", "dropped", "done_words = 'other'"], ["work_order", "dropped", "done_at = now()"], ["work_order", "taken", "taken_by = gen_random_uuid()"], ["work_order", "taken", "taken_at = NULL, taken_seq = NULL, taken_by = NULL"],
  ] as const)("%s is filled in once: %s, not again %s", async (table, which, again) => {
    expect(await refusal(`UPDATE ${table} SET ${again} WHERE id = $1`, [ids[which]])).toMatch(/^UPDATE on work_order is refused: \w+ was already filled in$/);
  });

  test.each(["found_code = 'SS-01'", "confirm_seq = 99", "found_words = 'other'", "confirmed_at = NULL, confirm_seq = NULL, confirmed_by = NULL, found_code = NULL, found_words = NULL, found_component = NULL", "found_component = NULL"])("what a technician found stands: not %s", async (again) => {
    expect(await refusal(`UPDATE fault SET ${again} WHERE id = $1`, [ids.fault])).toMatch(/^UPDATE on fault is refused: \w+ was already filled in$/);
  });

  test("the application itself writes into none of them", async () => {
    for (const table of [...Object.keys(TABLES), "kit"]) {
      const [column] = await columnsOf(table);
      for (const sql of [`INSERT INTO ${table} DEFAULT VALUES`, `UPDATE ${table} SET ${column!} = DEFAULT`, `DELETE FROM ${table}`, `TRUNCATE ${table}`]) expect([sql, await refusal(sql, [], database.appPool)]).toEqual([sql, `42501 permission denied for table ${table}`]);
    }
  });
});

describe("a work order", () => {
  const insert = (columns: string, values: string) =>
    refusal(`INSERT INTO work_order (site_id, set_id, words, opened_seq, opened_at, opened_by, ${columns}) SELECT site_id, set_id, '', 3, now(), opened_by, ${values} FROM work_order WHERE id = $1`, [ids.dropped]);

  test("is about one thing: a repair about a fault, a notice about a notice, the others about neither", async () => {
    expect(await insert("kind", "'inspection'")).toBe("let in");
    for (const [columns, values] of [["kind", "'repair'"], ["kind", "'notice'"], ["kind, fault_id", `'inspection', '${ids.fault}'`], ["kind, notice_id", `'service', '${ids.notice}'`], ["kind, fault_id, notice_id", `'repair', '${ids.fault}', '${ids.notice}'`], ["kind", "'other'"]] as const) {
      expect([values, await insert(columns, values)]).toEqual([values, expect.stringMatching(/^work_order_(kind_)?check\d*$/)]);
    }
    expect(await insert("kind, fault_id", `'repair', '${ids.fault}'`)).toBe("let in");
  });

  test("asks once for the same reason, and a set lies on one bench", async () => {
    expect(await insert("kind", "'service'")).toBe("work_order_one_reason");
    const taken = "INSERT INTO work_order (site_id, set_id, kind, words, opened_seq, opened_at, opened_by, taken_seq, taken_at, taken_by) SELECT site_id, set_id, 'inspection', '', 3, now(), opened_by, 4, now(), opened_by FROM work_order WHERE id = $1";
    expect(await refusal(taken, [ids.taken])).toBe("work_order_one_taken");
    expect(await refusal("INSERT INTO work_order_park (order_id, why, from_at, from_by) SELECT order_id, why, from_at, from_by FROM work_order_park")).toBe("work_order_park_one_open");
  });

  test.each([
    "taken_at = now()", "taken_seq = 99", "taken_by = opened_by", "taken_at = now(), taken_by = opened_by, taken_seq = opened_seq", "done_at = now()", "outcome = 'dropped'",
    "done_at = now(), done_by = opened_by, done_seq = 99, outcome = 'done', done_words = '', minutes = 5",
    "done_at = now(), done_by = opened_by, done_seq = 99, outcome = 'dropped'", "done_at = now(), done_by = opened_by, done_seq = opened_seq, outcome = 'dropped', done_words = ''",
    "done_at = now(), done_by = opened_by, done_seq = 99, outcome = 'lost', done_words = ''",
  ])("is not half taken and not half done: %s", async (edit) => {
    expect(await refusal(`UPDATE work_order SET ${edit} WHERE id = $1`, [ids.waiting])).toMatch(/^work_order_(\w+_)?check\d*$/);
  });

  test("is done with its minutes", async () => {
    const done = "UPDATE work_order SET done_at = now(), done_by = opened_by, done_seq = 99, outcome = 'done', done_words = ''";
    expect(await refusal(`${done} WHERE id = $1`, [ids.taken])).toMatch(/^work_order_check\d*$/);
    expect(await refusal(`${done}, minutes = 20 WHERE id = $1`, [ids.taken])).toBe("let in");
  });

  test("is parked until somebody ends it, not before it began", async () => {
    expect(await refusal("UPDATE work_order_park SET until_at = now()")).toMatch(/^work_order_park_check\d*$/);
    expect(await refusal("UPDATE work_order_park SET until_at = from_at - interval '1 second', until_by = from_by")).toMatch(/^work_order_park_check\d*$/);
  });
});

describe("kits", () => {
  const move = (kind: string, quantity: number, lot: string | null, component: string | null) =>
    refusal("INSERT INTO kit_movement (site_id, kit_id, kind, quantity, lot, component_id, words, at, by) VALUES ($1, $2, $3, $4, $5, $6, '', now(), $7)", [room.site, room.kit, kind, quantity, lot, component, room.people.technician]);

  test("that came are more than none, those used up are of a lot and for a component", async () => {
    const { primary } = plain.parts;
    expect(await move("received", 1, "L", null)).toBe("let in");
    expect(await move("counted", -1, null, null)).toBe("let in");
    expect(await move("used", -1, "L", primary)).toBe("let in");
    for (const [kind, quantity, lot, component] of [["received", 0, "L", null], ["received", -1, "L", null], ["used", 1, "L", primary], ["used", 0, "L", primary], ["used", -1, "", primary], ["used", -1, "L", null], ["counted", 1, null, primary], ["received", 1, "L", primary], ["lost", -1, "L", null]] as const) {
      expect([kind, quantity, lot, await move(kind, quantity, lot, component)]).toEqual([kind, quantity, lot, expect.stringMatching(/^kit_movement_(kind_)?check\d*$/)]);
    }
    expect(await move("used", -1, null, primary), "used up without a lot").toMatch(/^kit_movement_check\d*$/);
  });

  test("on order are closed whole", async () => {
    for (const part of ["closed_at = now()", "received = 3", "closed_by = ordered_by", "closed_at = now(), closed_by = ordered_by"]) expect(await refusal(`UPDATE kit_order SET ${part} WHERE id = $1`, [ids.kitOrder])).toMatch(/^kit_order_check\d*$/);
  });
});

describe("a seal and a set's marks", () => {
  const edit = (set: string) => refusal(`UPDATE regulator_set SET ${set} WHERE id = $1`, [sealed.id]);
  const onlyByActs = "UPDATE on regulator_set is refused: it changes only by acts, one number at a time";
  const lifted = (marks: string) => edit(`seq = seq + 1, evidence_seq = NULL${marks}`);

  test("a seal goes only with the wash, the release and the test", async () => {
    const [soiled, unreleased, retest] = [", soiled_seq = seq + 1", ", unreleased_seq = seq + 1", ", retest_seq = seq + 1"];
    for (const marks of ["", soiled, unreleased, retest, soiled + unreleased, soiled + retest, unreleased + retest, ", soiled_seq = seq, unreleased_seq = seq, retest_seq = seq"]) expect([marks, await lifted(marks)]).toEqual([marks, onlyByActs]);
    expect(await lifted(soiled + unreleased + retest)).toBe("let in");
    expect(await edit("seq = seq + 1, evidence_seq = seq + 1, soiled_seq = seq + 1, unreleased_seq = seq + 1, retest_seq = seq + 1"), "moved, not lifted").toBe(onlyByActs);
  });

  test("what asks for a test is not taken back, and no mark runs ahead", async () => {
    expect(await edit("seq = seq + 1, retest_seq = 0")).toBe(onlyByActs);
    expect(await edit("seq = seq + 1, retest_seq = seq + 2")).toBe("regulator_set_tests_in_step");
    expect(await edit("seq = seq + 1, tested_seq = seq + 2")).toBe("regulator_set_tests_in_step");
    expect(await refusal("INSERT INTO regulator_set (tag, site_id, tested_seq) VALUES ('N-1', $1, 1)", [room.site])).toBe("regulator_set_tests_in_step");
  });

  test("a set whose seal was lifted is sealed again by the next accident, and holds until then what it held", async () => {
    done(await liftEvidence(room.db, room.by("manager"), sealed.id, "Harbour police", "Closed"));
    const { rows } = await database.ownerPool.query<object>("SELECT evidence_seq, soiled_seq = seq AS soiled, unreleased_seq = seq AS unreleased, retest_seq = seq AS retest FROM regulator_set WHERE id = $1", [sealed.id]);
    expect(rows).toEqual([{ evidence_seq: null, soiled: true, unreleased: true, retest: true }]);
    done(await reportFault(room.db, room.by("desk"), sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
    expect(await lifted("")).toBe(onlyByActs);
  });
});

describe("a notice's range and a gauge", () => {
  test.each([
    ["digits without ends", "'A', 5, NULL, NULL"], ["ends without digits", "'A', NULL, 1, 2"], ["one end", "'A', 5, 1, NULL"], ["upside down", "'A', 5, 2, 1"], ["small letters", "'a', 5, 1, 2"], ["more than its digits", "'A', 2, 1, 100"], ["below nought", "'A', 2, -1, 5"], ["too many digits", "'A', 18, 1, 2"],
  ])("%s is no range", async (_, values) => {
    expect(await refusal(`INSERT INTO notice_range (notice_id, model_id, prefix, digits, low, high) SELECT notice_id, model_id, ${values} FROM notice_range LIMIT 1`)).toMatch(/^notice_range_(\w+_)?check\d*$/);
  });

  test("a calibration ends after it began, and a gauge has a span", async () => {
    expect(await refusal("INSERT INTO gauge_calibration (gauge_id, calibrated_on, valid_until_on, certificate, noted_by) SELECT gauge_id, '2026-02-01', '2026-01-31', 'c', noted_by FROM gauge_calibration LIMIT 1")).toBe("gauge_calibration_check");
    expect(await refusal("INSERT INTO test_gauge (site_id, name, serial, measures, span_low, span_high, class_tenths, added_by) SELECT site_id, 'n', 's', measures, 5, 5, 10, added_by FROM test_gauge LIMIT 1")).toBe("test_gauge_check");
  });

  test("one act of a set holds one test and one custody note", async () => {
    expect(await refusal("INSERT INTO bench_test (set_id, seq, phase, verdict, words, tested_on, tested_by, tested_at) SELECT set_id, seq, phase, verdict, words, tested_on, tested_by, tested_at FROM bench_test LIMIT 1")).toBe("bench_test_set_id_seq_key");
    expect(await refusal("INSERT INTO custody_note (set_id, seq, from_hand, to_hand, place, words, noted_by, noted_at) SELECT set_id, seq, from_hand, to_hand, place, words, noted_by, noted_at FROM custody_note LIMIT 1")).toBe("custody_note_set_id_seq_key");
  });
});
