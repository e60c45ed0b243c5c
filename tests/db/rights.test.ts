/** The application reads and calls acts. Everything else the database refuses it, whatever its code does. */
import { randomUUID } from "node:crypto";
import { act } from "@hangrail/db/acts";
import { clearFault, openWorkOrder, orderKit, parkWorkOrder, reportFault, takeWorkOrder } from "@hangrail/db/bench-acts";
import { closePerson } from "@hangrail/db/people-acts";
import pg from "pg";
import { beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

let database: TestDatabase;
let room: KitRoom;
let sets: readonly RoomSet[];

beforeAll(async () => {
  database = await freshDatabase();
  const made = await makeKitRoom(database, { sets: 5 });
  room = made;
  sets = made.sets;
});

/** The code the application's own statement is refused with, or "let in"; nothing stays behind. */
async function refusal(sql: string, values: unknown[] = []): Promise<string> {
  const app = await database.appPool.connect();
  try {
    await app.query("BEGIN");
    await app.query(sql, values);
    return "let in";
  } catch (error) {
    return (error as pg.DatabaseError).code ?? String(error);
  } finally {
    await app.query("ROLLBACK");
    app.release();
  }
}

async function owned<Row extends pg.QueryResultRow>(sql: string, values: unknown[] = []): Promise<Row[]> {
  return (await database.ownerPool.query<Row>(sql, values)).rows;
}

const FORBIDDEN = "42501";

/** Every act the application may call. */
const ACTS = [
  "hand_out", "take_back", "report_fault", "clear_fault", "mix_bath", "empty_bath", "start_wash", "end_wet", "finish_wash", "enter_wash_late", "soil_set",
  "accept_product", "approve_product", "add_model", "accept_limits", "set_pairing", "register_set", "refit", "retire_set", "transfer_set",
  "record_work", "release_sets", "open_notice", "clear_notice", "open_site", "add_person", "set_roles", "close_person", "authorise",
  "enrol_device", "revoke_device", "set_policy", "confirm_clock", "import_fleet", "import_history", "open_import",
  "confirm_fault", "add_photo", "tune_fault", "accept_bench_limits", "accept_build", "keep_kit", "accept_kits", "move_kit", "order_kit", "close_kit_order",
  "add_gauge", "calibrate_gauge", "retire_gauge", "open_work_order", "take_work_order", "park_work_order", "resume_work_order", "close_work_order",
  "record_bench_test", "note_custody", "lift_evidence", "set_money", "set_model_money",
  "make_bookings", "withdraw_booking", "set_bench_hours", "accept_plan", "open_calendar", "revoke_calendar", "correct_entry", "keep_checkpoint", "confirm_seen",
];
/** What it calls before anybody is known, or about somebody's own sign-in. */
const DOORS = ["first_run", "set_secret", "open_session", "touch_session", "end_session", "take_attempt", "clear_attempts", "note_security", "beat_clock", "step_import", "mark_exposure", "roll_exposure", "erase_hirers"];
/** What answers questions and changes nothing. */
const QUESTIONS = ["kitroom_clock", "first_day_of_use", "months_after", "taught_cap", "clock_doubt", "site_today", "heart_holds", "is_authorised", "gauge_in_calibration", "may_see_oxygen", "worked_on", "serial_match", "canonical_json", "significant_digits", "canonical_number", "utf16_order", "entry_text", "hirer_commitment"];

describe("the application's role", () => {
  test("reads every table and writes none", async () => {
    const tables = await owned<{ name: string; column: string; kind: string }>(
      `SELECT c.relname AS name, c.relkind AS kind, (SELECT attname FROM pg_attribute WHERE attrelid = c.oid AND attnum > 0 AND NOT attisdropped ORDER BY attnum LIMIT 1) AS column
         FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'v', 'm', 'p', 'f')`,
    );
    expect(tables.length).toBeGreaterThan(35);
    const letIn: string[] = [];
    for (const { name, column, kind } of tables) {
      if ((await refusal(`SELECT FROM ${name} LIMIT 1`)) !== "let in") letIn.push(`cannot read ${name}`);
      const tries = [`INSERT INTO ${name} DEFAULT VALUES`, `UPDATE ${name} SET ${column} = DEFAULT`, `DELETE FROM ${name}`, `SELECT FROM ${name} FOR UPDATE`];
      if (kind === "r") tries.push(`TRUNCATE ${name}`, `LOCK TABLE ${name} IN SHARE MODE`, `ALTER TABLE ${name} DISABLE TRIGGER ALL`, `DROP TABLE ${name}`, `CREATE TRIGGER t AFTER INSERT ON ${name} FOR EACH ROW EXECUTE FUNCTION history_stands()`);
      for (const sql of tries) {
        const code = await refusal(sql);
        // A view over several tables cannot be written by anybody.
        if (code !== FORBIDDEN && !(kind === "v" && ["55000", "0A000"].includes(code))) letIn.push(`${sql}: ${code}`);
      }
    }
    expect(letIn).toEqual([]);
  });

  test("holds no right on a table, a column or a sequence but to read", async () => {
    const rights = await owned<{ right: string; table: string }>(
      `SELECT DISTINCT a.privilege_type AS right, c.relname AS table FROM pg_class c, aclexplode(c.relacl) a
        WHERE c.relnamespace = 'public'::regnamespace AND a.grantee IN (0, 'hangrail_app'::regrole) AND NOT (a.privilege_type = 'SELECT' AND c.relkind IN ('r', 'v'))
       UNION ALL SELECT a.privilege_type, c.relname FROM pg_class c JOIN pg_attribute t ON t.attrelid = c.oid, aclexplode(t.attacl) a
        WHERE c.relnamespace = 'public'::regnamespace AND a.grantee IN (0, 'hangrail_app'::regrole)`,
    );
    expect(rights).toEqual([]);
    const sequences = await owned<{ relname: string }>("SELECT relname FROM pg_class WHERE relkind = 'S' AND relnamespace = 'public'::regnamespace");
    expect(sequences.length).toBeGreaterThan(5);
    for (const { relname } of sequences) expect(await refusal(`SELECT setval('${relname}', 1)`)).toBe(FORBIDDEN);
  });

  test("is no member of another role, and owns nothing", async () => {
    expect(await owned("SELECT FROM pg_auth_members WHERE member = 'hangrail_app'::regrole")).toEqual([]);
    expect(await owned("SELECT FROM pg_class WHERE relowner = 'hangrail_app'::regrole")).toEqual([]);
    expect(await owned("SELECT FROM pg_proc WHERE proowner = 'hangrail_app'::regrole")).toEqual([]);
    expect(await owned("SELECT FROM pg_roles WHERE rolname = 'hangrail_app' AND (rolsuper OR rolcreaterole OR rolcreatedb OR rolreplication OR rolbypassrls)")).toEqual([]);
    expect(await refusal("SET ROLE hangrail_owner")).toBe(FORBIDDEN);
    expect(await refusal("SET SESSION AUTHORIZATION hangrail_owner")).toBe(FORBIDDEN);
  });

  test.each([
    "SET session_replication_role = 'replica'",
    "SELECT set_config('session_replication_role', 'replica', true)",
    "ALTER TABLE regulator_set DISABLE TRIGGER regulator_set_seq",
    "DROP TRIGGER record_entry_no_update ON record_entry",
    "CREATE OR REPLACE FUNCTION kitroom_clock() RETURNS timestamptz LANGUAGE sql AS 'SELECT now()'",
    "ALTER FUNCTION kitroom_clock() RENAME TO old_clock",
    "ALTER FUNCTION hand_out(jsonb, jsonb, jsonb) SECURITY INVOKER",
    "ALTER FUNCTION hand_out(jsonb, jsonb, jsonb) SET search_path = pg_temp, public",
    "DROP FUNCTION clock_doubt(timestamptz)",
    "CREATE FUNCTION mine() RETURNS int LANGUAGE sql AS 'SELECT 1'",
    "CREATE FUNCTION public.clock_timestamp() RETURNS timestamptz LANGUAGE sql AS 'SELECT now()'",
    "CREATE TABLE mine ()",
    "CREATE VIEW mine AS SELECT 1",
    "CREATE TEMP TABLE regulator_set (id uuid)",
    "CREATE SCHEMA mine",
    "CREATE TYPE mine AS ENUM ('a')",
    "CREATE EXTENSION dblink",
    "CREATE RULE r AS ON SELECT TO record_entry DO INSTEAD NOTHING",
    "ALTER ROLE hangrail_app SUPERUSER",
    "ALTER VIEW set_board SET (security_invoker = true)",
    "ALTER SCHEMA public RENAME TO other",
    "COPY record_entry TO PROGRAM 'cat'",
    "COPY (SELECT 1) TO '/tmp/hangrail-rights'",
    "SELECT pg_read_file('/etc/passwd')",
    "COMMENT ON TABLE site IS 'mine'",
  ])("may not %s", async (sql) => {
    expect(await refusal(sql)).toBe(FORBIDDEN);
  });

  test("may call the acts and the questions, and no other function of ours", async () => {
    const callable = await owned<{ name: string }>(
      `SELECT DISTINCT p.proname AS name FROM pg_proc p WHERE p.pronamespace = 'public'::regnamespace AND has_function_privilege('hangrail_app', p.oid, 'EXECUTE')
         AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e')`,
    );
    expect(callable.map((row) => row.name).sort()).toEqual([...ACTS, ...DOORS, ...QUESTIONS].sort());
  });

  test("is refused the inner parts of the acts", async () => {
    const who = room.by("manager");
    const inner = [
      ["append_entry($1, 'cleaned', $2, now(), '{}')", [sets[0]!.id, who]], ["append_site_entry($1, 'cleaned', $2, now(), '{}')", [room.site, who]],
      ["open_fault($1, $2, now(), '{}')", [sets[0]!.id, who]], ["move_set($1, $2, $3)", [sets[0]!.id, room.site, who]],
      ["note_work($1, $2, 1, 'service', '2030-01-01', 0, 0, true, true, 'x', $3, now())", [sets[0]!.parts.gauge, sets[0]!.id, who.staff]],
      ["take_off($1, $2, $3, now(), 'x')", [sets[0]!.id, sets[0]!.parts.gauge, who]], ["keep_answer($1, 'hand-out', '{}', '{}')", [who]],
      ["first_answer($1, 'hand-out', '{}')", [who]], ["actor($1, 'manager')", [who]], ["lock_sets(ARRAY[$1::uuid])", [sets[0]!.id]],
      ["lock_run($1, $2)", [randomUUID(), room.site]], ["hold_people($1)", [who.staff]],
      ["add_order($1, $2, now(), '{}')", [sets[0]!.id, who]], ["hold_order($1, $2)", [who, randomUUID()]], ["kit_stock($1, $2)", [room.site, room.kit]],
      ["kits_missing('[]', '[]')", []], ["use_kits($1, '[]', '[]', NULL, now())", [who]], ["pass_contradicted($1, '{}', '2030-01-01')", [sets[0]!.id]],
      ["notice_matches($1, $1, $1, 'x')", [sets[0]!.id]], ["mark_restored(now(), repeat('0', 64))", []], ["order_work_recorded(NULL)", []],
    ] as const;
    for (const [call, values] of inner) expect([call, await refusal(`SELECT ${call}`, [...values])]).toEqual([call, FORBIDDEN]);
  });
});

describe("every act that runs with its owner's rights", () => {
  test("finds our own tables first and temporary ones last", async () => {
    const definers = await owned<{ name: string; config: string[] | null }>(
      "SELECT proname AS name, proconfig AS config FROM pg_proc WHERE prosecdef AND pronamespace NOT IN ('pg_catalog'::regnamespace, 'information_schema'::regnamespace)",
    );
    expect(definers.map((row) => row.name).sort()).toEqual([...ACTS, ...DOORS].sort());
    // How a plan is kept is no matter of rights; nothing else is set beside the path.
    for (const { name, config } of definers) {
      expect([name, config?.filter((one) => !one.startsWith("plan_cache_mode="))]).toEqual([name, ["search_path=public, pg_temp"]]);
    }
  });

  test("is not fooled by temporary tables named like ours", async () => {
    // A server whose administrator lets everybody make temporary tables.
    await owned(`GRANT TEMPORARY ON DATABASE ${pg.escapeIdentifier(database.name)} TO hangrail_app`);
    const app = new pg.Client({ connectionString: database.url });
    await app.connect();
    try {
      await app.query(`
        CREATE TEMP TABLE staff_role (staff_id uuid, site_id uuid, role text, until_at timestamptz);
        CREATE TEMP TABLE staff (id uuid, closed_at timestamptz);
        CREATE TEMP TABLE regulator_set (LIKE public.regulator_set);
        CREATE TEMP TABLE hire_line (LIKE public.hire_line);
        CREATE TEMP TABLE command (LIKE public.command);
        SET search_path = pg_temp, public`);
      const stranger = randomUUID();
      await app.query("INSERT INTO staff VALUES ($1)", [stranger]);
      await app.query("INSERT INTO staff_role VALUES ($1, $2, 'desk')", [stranger, room.site]);
      const hire = JSON.stringify(aHire(await room.today()));
      const seen = JSON.stringify(await room.seen([sets[0]!]));
      await expect(app.query("SELECT hand_out($1, $2, $3)", [{ ...room.by("desk"), staff: stranger }, hire, seen])).rejects.toMatchObject({ code: "HR403" });
      const { rows } = await app.query<{ answer: { answer: string } }>("SELECT hand_out($1, $2, $3) AS answer", [room.by("desk"), hire, seen]);
      expect(rows[0]?.answer.answer).toBe("done");
      expect((await app.query("SELECT FROM pg_temp.hire_line")).rowCount).toBe(0);
      expect((await app.query("SELECT FROM public.hire_line WHERE set_id = $1 AND back_at IS NULL", [sets[0]!.id])).rowCount).toBe(1);
      await app.query("SELECT take_back($1, $2)", [room.by("desk"), JSON.stringify([backDry(sets[0]!.id)])]);
    } finally {
      await app.end();
    }
  });
});

describe("an act in the name of somebody who may not", () => {
  /** Each act with input that would do for the right person. */
  async function calls(): Promise<Record<string, readonly unknown[]>> {
    const set = sets[1]!.id;
    const known = await owned<Record<"fault" | "bath" | "run" | "kitOrder" | "order" | "taken" | "parked" | "booking" | "feed", string>>(
      `SELECT (SELECT id FROM fault WHERE set_id = $1) AS fault, (SELECT id FROM bath LIMIT 1) AS bath, (SELECT id FROM cleaning_run LIMIT 1) AS run, (SELECT id FROM kit_order) AS "kitOrder",
              (SELECT id FROM work_order WHERE taken_at IS NULL) AS order, (SELECT id FROM work_order WHERE set_id = $2 AND taken_at IS NOT NULL) AS taken,
              (SELECT order_id FROM work_order_park) AS parked, (SELECT id FROM booking) AS booking, (SELECT id FROM calendar_feed) AS feed`,
      [set, sets[3]!.id],
    );
    const { fault, bath, run } = known[0]!;
    const seen = await room.seen([sets[1]!]);
    return {
      hand_out: [aHire(await room.today()), seen],
      take_back: [JSON.stringify([backDry(set)])],
      report_fault: [set, { code: "SS-07", severity: "hold", component: null, where: "desk", words: "" }],
      clear_fault: [fault, "mended", "", false],
      mix_bath: [{ product: room.product, label: "B", lot: null, productMl: 100, waterMl: 9_900 }],
      empty_bath: [bath],
      start_wash: [bath, [set]],
      end_wet: [run],
      finish_wash: [run, [set]],
      enter_wash_late: ["out", set, null, { seq: (await room.seen([{ ...sets[0]!, id: set }]))[0]!.seq }, "2026-01-01T00:00:00Z"],
      soil_set: [set, "breath-tested", ""],
      accept_product: [{ name: "Other", strengthHundredths: 500, minPpm: 1, maxPpm: 2, wetMinutes: 1, bathHours: 1, labelPage: "p" }],
      approve_product: [room.product, [room.models.first], "p"],
      add_model: ["gauge", "Tarnfell", "New"],
      accept_limits: [room.models.gauge, { hasInspection: false, coldRating: "unknown", manualPage: "p" }],
      set_pairing: [room.models.first, room.models.second, false, "p"],
      register_set: ["X-1", JSON.stringify([])],
      refit: [set, null, null, null, "gauge", "w"],
      retire_set: [set, "w"],
      transfer_set: [set, room.site],
      record_work: [set, { kind: "service", components: [sets[1]!.parts.primary], oxygenClean: false, words: "", kits: room.kitsFor([sets[1]!.parts.primary]) }],
      release_sets: [[set], "w"],
      open_notice: [{ title: "t", reference: "r", hazard: "h", remedy: "r", publishedOn: "2026-01-01", ranges: [room.firstStageRange(sets[1]!)] }],
      clear_notice: [randomUUID(), sets[1]!.parts.gauge, "r"],
      open_site: [{ name: "Elsewhere", timeZone: "Europe/Malta", units: "metric" }],
      add_person: [{ name: "N", login: "n", passwordHash: "x", pinHash: null }, ["desk"]],
      set_roles: [room.people.desk, ["desk"]],
      close_person: [room.people.desk],
      authorise: [room.people.technician, "Tarnfell", false, "2026-01-01", "2027-01-01", "e"],
      enrol_device: ["tablet", Buffer.from(randomUUID())],
      revoke_device: [randomUUID()],
      set_policy: [{ shelfMonths: 12 }],
      confirm_clock: ["right"],
      import_fleet: [JSON.stringify([])],
      import_history: [JSON.stringify([])],
      open_import: ["fleet.csv"],
      confirm_fault: [fault, { code: "SS-07", component: null, words: "" }],
      add_photo: [fault, "image/png", Buffer.from("photo")],
      tune_fault: ["SS-07", "out"],
      accept_bench_limits: [room.models.first, JSON.stringify([{ name: "creep", low: null, high: 25, page: "p" }])],
      accept_build: [room.models.first, { page: "p" }],
      keep_kit: [{ maker: "Tarnfell", name: "Other kit", priceCents: null, leadDays: null }],
      accept_kits: [room.models.first, JSON.stringify([{ kit: room.kit, quantity: 1 }]), "p"],
      move_kit: [room.kit, { kind: "counted", quantity: 3, lot: null, words: "" }],
      order_kit: [room.kit, 2, await room.today()],
      close_kit_order: [known[0]!.kitOrder, 2, "L-8"],
      add_gauge: [{ name: "Third gauge", serial: "3", measures: "pressure", spanLow: 0, spanHigh: 100, classTenths: 10, calibratedOn: "2026-01-01", validUntil: "2027-01-01", certificate: "c" }],
      calibrate_gauge: [room.gauges.pressure, "2026-01-01", "2027-01-01", "c"],
      retire_gauge: [room.gauges.effort, "dropped"],
      open_work_order: [set, { kind: "service", fault: null, notice: null, weekOn: null, words: "" }],
      take_work_order: [known[0]!.order],
      park_work_order: [known[0]!.taken, "no seals", null],
      resume_work_order: [known[0]!.parked],
      close_work_order: [known[0]!.taken, { outcome: "dropped", minutes: null, words: "" }],
      record_bench_test: [set, { phase: "as-found", verdict: "fail", words: "", order: null, readings: [], curves: [] }],
      note_custody: [sets[2]!.id, { from: "Police", to: "Insurer", place: "Safe", words: "" }],
      lift_evidence: [sets[2]!.id, "Harbour police", "Case closed"],
      set_money: [{ currency: "EUR", benchHourCents: null, hireCents: null, interestPermille: 50 }],
      set_model_money: [room.models.first, { priceCents: 1, resaleCents: null, lifeYears: null }],
      make_bookings: [JSON.stringify([{ fromOn: "2026-07-01", untilOn: "2026-07-02", connection: null, cold: false, o2Tenths: 210, teaching: false, sets: 2, words: "", source: "typed" }])],
      withdraw_booking: [known[0]!.booking],
      set_bench_hours: [{ staff: room.people.technician, weekOn: null, minutes: 600, words: "" }],
      accept_plan: [{ fromOn: "2026-07-06", weeks: 4, cost: 0, bound: 0, gapPpm: 0, settings: {}, words: "", lines: [] }],
      open_calendar: [Buffer.from(randomUUID()), "On the wall"],
      revoke_calendar: [known[0]!.feed],
      correct_entry: [set, 1, "Another serial"],
      keep_checkpoint: [{ number: 1, at: "2026-01-01T00:00:00Z", chains: 0, entries: 0, root: "00".repeat(32), previous: null, publicKey: "00".repeat(32), signature: "00".repeat(64) }, JSON.stringify([])],
      confirm_seen: [[set], null, "On the rail"],
    };
  }

  /** Roles that each act is open to. */
  const OPEN_TO: Record<string, readonly string[]> = {
    hand_out: ["desk"], take_back: ["desk"], report_fault: ["desk", "wash-room", "technician", "manager"], clear_fault: ["technician", "desk"],
    mix_bath: ["wash-room"], empty_bath: ["wash-room"], start_wash: ["wash-room"], end_wet: ["wash-room"], finish_wash: ["wash-room"], enter_wash_late: ["wash-room"],
    soil_set: ["desk", "wash-room", "technician"], accept_product: ["technician", "manager"], approve_product: ["technician"], add_model: ["technician", "manager"],
    accept_limits: ["technician"], set_pairing: ["technician"], register_set: ["technician", "manager"], refit: ["technician"], retire_set: ["manager"],
    transfer_set: ["manager"], record_work: ["technician"], release_sets: ["technician"], open_notice: ["technician", "manager"], clear_notice: ["technician"],
    open_site: ["manager"], add_person: ["manager"], set_roles: ["manager"], close_person: ["manager"], authorise: ["manager"], enrol_device: ["manager"],
    revoke_device: ["manager"], set_policy: ["manager"], confirm_clock: ["manager"], import_fleet: ["manager", "technician"], import_history: ["manager", "technician"], open_import: ["manager", "technician"],
    confirm_fault: ["technician"], add_photo: ["desk", "wash-room", "technician", "manager"], tune_fault: ["manager"], accept_bench_limits: ["technician"],
    accept_build: ["technician"], keep_kit: ["technician", "manager"], accept_kits: ["technician"], move_kit: ["technician", "manager"], order_kit: ["technician", "manager"],
    close_kit_order: ["technician", "manager"], add_gauge: ["technician", "manager"], calibrate_gauge: ["technician", "manager"], retire_gauge: ["technician", "manager"],
    open_work_order: ["technician", "manager"], take_work_order: ["technician"], park_work_order: ["technician"], resume_work_order: ["technician"],
    close_work_order: ["technician", "manager"], record_bench_test: ["technician"], note_custody: ["technician", "manager"], lift_evidence: ["manager"], set_money: ["manager"],
    set_model_money: ["manager"], make_bookings: ["desk", "manager"], withdraw_booking: ["desk", "manager"], set_bench_hours: ["manager"], accept_plan: ["manager"],
    open_calendar: ["manager", "technician"], revoke_calendar: ["manager", "technician"], correct_entry: ["technician", "manager"], keep_checkpoint: ["manager"], confirm_seen: ["manager"],
  };

  let closed: string;
  let otherSite: string;
  beforeAll(async () => {
    done(await reportFault(room.db, room.by("desk"), sets[1]!.id, { code: "SS-07", severity: "hold", component: null, where: "desk", words: "" }));
    await bringAboutTheBench();
    otherSite = await room.openSite("Lagoon Dive Centre");
    closed = randomUUID();
    // Closed with every role still in the table: the account's end alone must do.
    await owned("INSERT INTO staff (id, name, login, password_hash, closed_at) VALUES ($1, 'Gone', 'gone', 'x', now())", [closed]);
    await owned("INSERT INTO staff_role (staff_id, site_id, role) SELECT $1, $2, unnest(ARRAY['desk', 'wash-room', 'technician', 'manager'])", [closed, room.site]);
  });

  /** One of everything the acts of the bench begin with: a sealed set, orders waiting, taken and parked, kits on order. */
  async function bringAboutTheBench(): Promise<void> {
    const [, plain, sealed, taken, parked] = sets as [RoomSet, RoomSet, RoomSet, RoomSet, RoomSet];
    const technician = () => room.by("technician");
    done(await reportFault(room.db, room.by("desk"), sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
    const order = async ({ id }: RoomSet) => done(await openWorkOrder(room.db, technician(), id, { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" })).order;
    await order(plain);
    done(await takeWorkOrder(room.db, technician(), await order(taken)));
    const waiting = await order(parked);
    done(await takeWorkOrder(room.db, technician(), waiting));
    done(await parkWorkOrder(room.db, technician(), waiting, "No seals", null));
    done(await orderKit(room.db, technician(), room.kit, 2, await room.today()));
    done(await act(room.db, "make_bookings", [room.by("desk"), JSON.stringify([{ fromOn: "2026-07-01", untilOn: "2026-07-02", cold: false, o2Tenths: 210, teaching: false, sets: 2, words: "", source: "typed" }])]));
    done(await act(room.db, "open_calendar", [technician(), Buffer.from("hash"), "On the wall"]));
  }

  test.each(ACTS)("%s is refused without the role, from another site, after closing, from nobody", async (name) => {
    const input = (await calls())[name]!;
    // The chief holds every role, so people with one role each stand for the roles.
    const wrong = (["desk", "wash-room", "technician"] as const).filter((role) => !OPEN_TO[name]!.includes(role));
    const forged = [
      ...wrong.map((role) => room.by(role)),
      ...(["desk", "wash-room", "technician"] as const).map((role) => ({ ...room.by(role), site: otherSite })),
      { ...room.by("desk"), staff: closed },
      { ...room.by("desk"), staff: randomUUID() },
      { ...room.by("desk"), staff: null },
      { ...room.by("manager"), site: randomUUID() },
      { ...room.by("manager"), site: null },
    ];
    const before = await marks();
    for (const who of forged) await expect(act(room.db, name, [who, ...input])).rejects.toMatchObject({ name: "NotEntitled" });
    expect(await marks()).toEqual(before);
  });

  test("the right person is let in to every act, so the list above proves something", async () => {
    const inputs = await calls();
    for (const name of ACTS) {
      const role = OPEN_TO[name]![0] as "desk";
      const client = await database.appPool.connect();
      try {
        await client.query("BEGIN");
        const one = { acts: { query: (q: pg.QueryConfig) => client.query({ ...q, name: undefined } as pg.QueryConfig) } } as unknown as Parameters<typeof act>[0];
        const answer = await act<{ answer?: string } | string>(one, name, [room.by(role), ...inputs[name]!]);
        expect([name, typeof answer === "string" || ["done", "refused", "hold"].includes(answer.answer ?? "")]).toEqual([name, true]);
      } finally {
        await client.query("ROLLBACK");
        client.release();
      }
    }
  });

  test("somebody unknown cannot change another's secret", async () => {
    for (const staff of [null, closed, room.people.desk]) {
      await expect(act(room.db, "set_secret", [{ ...room.by("desk"), staff }, room.people.manager, "mine now", null, null])).rejects.toMatchObject({ name: "NotEntitled" });
    }
    expect(await owned("SELECT FROM staff WHERE password_hash = 'mine now'")).toEqual([]);
  });

  test("a fault that only a technician clears is not cleared at the desk", async () => {
    const { fault } = done(await reportFault(room.db, room.by("desk"), sets[0]!.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "" }));
    await expect(clearFault(room.db, room.by("desk"), fault, "mended", "", false)).rejects.toMatchObject({ name: "NotEntitled" });
    await expect(clearFault(room.db, room.by("manager"), fault, "mended", "", true)).resolves.toMatchObject({ answer: "done" });
  });

  test("a technician of another site does not clear a notice here, nor a manager close its last manager", async () => {
    const { rows } = await database.ownerPool.query<{ id: string }>("INSERT INTO staff (name, login, password_hash) VALUES ('Far', 'far', 'x') RETURNING id");
    const far = rows[0]!.id;
    await owned("INSERT INTO staff_role (staff_id, site_id, role) SELECT $1, $2, unnest(ARRAY['technician', 'manager'])", [far, otherSite]);
    const abroad = { staff: far, site: otherSite, device: null, request: randomUUID() };
    expect(await act(room.db, "clear_notice", [abroad, randomUUID(), sets[0]!.parts.gauge, "seen"])).toMatchObject({ answer: "refused", code: "no-such-component" });
    // The chief runs this site alone, and is known at the other as well.
    expect(await closePerson(room.db, abroad, room.people.manager)).toMatchObject({ answer: "refused", code: "last-manager" });
  });

  async function marks(): Promise<unknown> {
    return (await owned("SELECT (SELECT count(*) FROM record_entry) AS entries, (SELECT count(*) FROM command) AS commands, (SELECT sum(seq) FROM regulator_set) AS seqs"))[0];
  }
});
