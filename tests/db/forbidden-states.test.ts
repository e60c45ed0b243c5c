/** What must never be true is refused by the database itself, also to the owner of the tables. */
import { handOut, takeBack } from "@hangrail/db/acts";
import { clearFault, reportFault } from "@hangrail/db/bench-acts";
import type pg from "pg";
import { beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

let database: TestDatabase;
let room: KitRoom;
/** With a hirer now. */
let out: RoomSet;
/** Was with a hirer once, and had a fault that was cleared. */
let back: RoomSet;
let spare: RoomSet;
const ids: Record<string, string> = {};

beforeAll(async () => {
  database = await freshDatabase();
  const made = await makeKitRoom(database, { sets: 3 });
  room = made;
  [out, back, spare] = made.sets as [RoomSet, RoomSet, RoomSet];
  const today = await room.today();
  done(await handOut(room.db, room.by("desk"), aHire(today), await room.seen([out, back])));
  done(await takeBack(room.db, room.by("desk"), [backDry(back.id, { dives: 2, minutes: 90, waterKind: "sea" })]));
  const { fault } = done(await reportFault(room.db, room.by("desk"), back.id, { code: "SS-07", severity: "hold", component: null, where: "desk", words: "Tie loose" }));
  done(await clearFault(room.db, room.by("desk"), fault, "mended", "New tie", false));
  ids["fault"] = fault;
  ids["openLine"] = await one("SELECT id FROM hire_line WHERE set_id = $1 AND back_at IS NULL", [out.id]);
  ids["backLine"] = await one("SELECT id FROM hire_line WHERE set_id = $1", [back.id]);
  ids["hire"] = await one("SELECT id FROM hire", []);
  ids["run"] = await one("SELECT id FROM cleaning_run LIMIT 1", []);
});

async function one(sql: string, values: unknown[]): Promise<string> {
  const { rows } = await database.ownerPool.query<{ id: string }>(sql, values);
  return rows[0]!.id;
}

/** What the owner's statement is refused with, or "let in"; nothing stays behind. */
async function refusal(sql: string, values: unknown[] = []): Promise<string> {
  const owner = await database.ownerPool.connect();
  try {
    await owner.query("BEGIN");
    const { rowCount } = await owner.query(sql, values);
    return rowCount === 0 ? "touched nothing" : "let in";
  } catch (error) {
    const { constraint, code, message } = error as pg.DatabaseError;
    return constraint ?? (code === "HR409" || code === "HR400" ? message : `${code} ${message}`);
  } finally {
    await owner.query("ROLLBACK");
    owner.release();
  }
}

describe("where sets and components are", () => {
  test("a set is with one hirer at a time", async () => {
    expect(await refusal("INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on) VALUES ($1, $2, 99, now(), '2030-01-01')", [ids["hire"], out.id])).toBe("hire_line_one_open");
  });

  test("a component is in one set now", async () => {
    expect(await refusal("INSERT INTO fitting (set_id, component_id, position, from_seq, from_at) VALUES ($1, $2, 'gauge', 99, now() + interval '1 second')", [out.id, spare.parts.gauge])).toMatch(/^fitting_one_(open|place)$/);
  });

  test("a component was in one set at every instant of the past", async () => {
    const early = "INSERT INTO fitting (set_id, component_id, position, from_seq, from_at, until_seq, until_at)";
    const during = "SELECT $1, component_id, 'gauge', 1, from_at + interval '1 second', 2, from_at + interval '2 seconds' FROM fitting WHERE component_id = $2";
    expect(await refusal(`${early} ${during}`, [out.id, spare.parts.gauge])).toBe("fitting_one_place");
    const before = "SELECT $1, component_id, 'gauge', 1, from_at - interval '1 hour', 2, from_at + interval '1 second' FROM fitting WHERE component_id = $2";
    expect(await refusal(`${early} ${before}`, [out.id, spare.parts.gauge])).toBe("fitting_one_place");
  });

  test.each(["first-stage", "primary"] as const)("a set has one %s", async (position) => {
    const model = position === "primary" ? room.models.second : room.models.first;
    const { rows } = await database.ownerPool.query<{ id: string }>("INSERT INTO component (model_id, site_id, serial) VALUES ($1, $2, $3) RETURNING id", [model, room.site, `second ${position}`]);
    expect(await refusal("INSERT INTO fitting (set_id, component_id, position, from_seq, from_at) VALUES ($1, $2, $3, 99, now())", [spare.id, rows[0]!.id, position])).toBe("fitting_one_breathing_path");
  });

  test("a component sits only where its kind belongs", async () => {
    const { rows } = await database.ownerPool.query<{ id: string }>(
      `WITH m AS (INSERT INTO model (kind, maker, name) VALUES ('transmitter', 'Tarnfell', 'Beck T') RETURNING id)
       INSERT INTO component (model_id, site_id, serial) SELECT id, $1, 'T-1' FROM m RETURNING id`,
      [room.site],
    );
    for (const position of ["gauge", "first-stage", "primary", "hose"]) {
      expect(await refusal("INSERT INTO fitting (set_id, component_id, position, from_seq, from_at) VALUES ($1, $2, $3, 99, now())", [spare.id, rows[0]!.id, position])).toBe(
        `A transmitter does not belong in the position ${position}`,
      );
    }
    expect(await refusal("INSERT INTO fitting (set_id, component_id, position, from_seq, from_at) VALUES ($1, $2, 'transmitter', 99, now())", [spare.id, rows[0]!.id])).toBe("let in");
  });

  test("a tag is one set's", async () => {
    expect(await refusal("INSERT INTO regulator_set (tag, site_id) VALUES ($1, $2)", [out.tag, room.site])).toBe("regulator_set_tag_key");
    expect(await refusal("INSERT INTO regulator_set (tag, site_id) VALUES ('r-1', $1)", [room.site])).toBe("regulator_set_tag_check");
  });

  test("a serial of a model is one component's", async () => {
    expect(await refusal("INSERT INTO component (model_id, site_id, serial) SELECT model_id, site_id, serial FROM component LIMIT 1")).toBe("component_model_id_serial_key");
  });

  test("a set is in one bath or on one rail", async () => {
    const open = "INSERT INTO cleaning_run_set (run_id, set_id, start_seq) VALUES ($1, $2, 90)";
    await database.ownerPool.query(
      "INSERT INTO cleaning_run (site_id, bath_id, started_at, started_by, wet_until) SELECT site_id, bath_id, started_at, started_by, wet_until FROM cleaning_run LIMIT 1",
    );
    const { rows } = await database.ownerPool.query<{ id: string }>("SELECT id FROM cleaning_run WHERE wet_ended_at IS NULL");
    await database.ownerPool.query("INSERT INTO regulator_set (tag, site_id) VALUES ('W-1', $1)", [room.site]);
    const washing = await one("SELECT id FROM regulator_set WHERE tag = 'W-1'", []);
    await database.ownerPool.query(open, [rows[0]!.id, washing]);
    expect(await refusal(open, [ids["run"], washing])).toBe("cleaning_run_set_one_open");
  });
});

describe("what a return says", () => {
  const fill = (set: string, where: string) => `UPDATE hire_line SET ${set} WHERE id = ${where}`;

  test("a set that went in the water counts at least one dive", async () => {
    const whole = "back_seq = 99, back_at = now(), back_by = (SELECT id FROM staff LIMIT 1), minutes = 0, estimated = false, problem = false";
    for (const water of ["sea", "fresh", "pool"]) {
      expect(await refusal(fill(`${whole}, dives = 0, water_kind = '${water}'`, "$1"), [ids["openLine"]])).toBe("hire_line_wet_counts");
    }
    expect(await refusal(fill(`${whole}, dives = 0, water_kind = 'none'`, "$1"), [ids["openLine"]])).toBe("let in");
    expect(await refusal(fill(`${whole}, dives = 1, water_kind = 'sea'`, "$1"), [ids["openLine"]])).toBe("let in");
  });

  test.each(["back_seq = 99", "back_at = now()", "dives = 1", "minutes = 1", "estimated = true", "water_kind = 'none'", "problem = false", "back_by = (SELECT id FROM staff LIMIT 1)"])("is whole or not there: not %s alone", async (alone) => {
    expect(await refusal(fill(alone, "$1"), [ids["openLine"]])).toMatch(/^hire_line_(back_whole|wet_counts)$/);
  });

  test("lies after the hand-out", async () => {
    const whole = "back_seq = out_seq, back_at = now(), back_by = (SELECT id FROM staff LIMIT 1), minutes = 0, estimated = false, problem = false, dives = 0, water_kind = 'none'";
    expect(await refusal(fill(whole, "$1"), [ids["openLine"]])).toBe("hire_line_back_after_out");
  });

  test.each(["dives = 3", "dives = NULL", "back_at = now()", "back_at = NULL, back_seq = NULL", "words = NULL, problem = true"])("is not filled in a second time: %s", async (again) => {
    expect(await refusal(fill(again, "$1"), [ids["backLine"]])).toMatch(/^UPDATE on hire_line is refused: \w+ was already filled in$/);
  });

  test.each(["back_on = back_on + 1", "out_at = now()", "out_seq = 1", "set_id = gen_random_uuid()", "hire_id = gen_random_uuid()"])("leaves the hand-out as it was: not %s", async (edit) => {
    expect(await refusal(fill(edit, "$1"), [ids["openLine"]])).toBe("UPDATE on hire_line is refused: what was written stays as written");
  });

  test("counts once for a component", async () => {
    expect(
      await refusal("INSERT INTO component_use (component_id, line_id, dives, minutes, taught, estimated, at) SELECT component_id, line_id, 1, 1, false, false, now() FROM component_use WHERE line_id = $1", [ids["backLine"]]),
    ).toBe("component_use_once_per_line");
  });
});

describe("what cannot be half true", () => {
  test("clean comes after the bath", async () => {
    await database.ownerPool.query("INSERT INTO regulator_set (tag, site_id) VALUES ('W-2', $1)", [room.site]);
    const washing = await one("SELECT id FROM regulator_set WHERE tag = 'W-2'", []);
    const insert = "INSERT INTO cleaning_run_set (run_id, set_id, start_seq, wet_seq, clean_seq, abandoned_seq) VALUES ($1, $2, 1,";
    expect(await refusal(`${insert} NULL, 3, NULL)`, [ids["run"], washing])).toBe("cleaning_run_set_wet_first");
    expect(await refusal(`${insert} 2, 3, 4)`, [ids["run"], washing])).toBe("cleaning_run_set_one_end");
    expect(await refusal(`${insert} 2, 2, NULL)`, [ids["run"], washing])).toMatch(/^cleaning_run_set.*check/);
    expect(await refusal(`${insert} 2, 3, NULL)`, [ids["run"], washing])).toBe("let in");
  });

  test("a wash is not over before its wet time", async () => {
    expect(await refusal("UPDATE cleaning_run SET wet_ended_at = wet_until - interval '1 second' WHERE wet_ended_at IS NULL")).toMatch(/^cleaning_run.*check/);
  });

  test("a cleared fault says who, when, how it ended and why", async () => {
    const { fault } = done(await reportFault(room.db, room.by("desk"), spare.id, { code: "SS-02", severity: "watch", component: null, where: "desk", words: "" }));
    for (const part of ["cleared_at = now()", "clear_seq = 99", "outcome = 'mended'", "cleared_by = (SELECT id FROM staff LIMIT 1)", "clear_words = 'fine'"]) {
      expect(await refusal(`UPDATE fault SET ${part} WHERE id = $1`, [fault])).toMatch(/^fault.*check/);
    }
    expect(await refusal("UPDATE fault SET outcome = 'not-found' WHERE id = $1", [ids["fault"]])).toBe("UPDATE on fault is refused: outcome was already filled in");
    expect(await refusal("UPDATE fault SET severity = 'watch' WHERE id = $1", [ids["fault"]])).toBe("UPDATE on fault is refused: what was written stays as written");
  });

  test("a fitting ends after it began, once", async () => {
    const end = (set: string) => refusal(`UPDATE fitting SET ${set} WHERE component_id = $1 AND until_at IS NULL`, [spare.parts.gauge]);
    expect(await end("until_at = from_at - interval '1 second', until_seq = 99")).toBe("fitting_ends_after");
    expect(await end("until_at = now(), until_seq = from_seq")).toBe("fitting_ends_after");
    expect(await end("until_at = now()")).toBe("fitting_ends_once");
    expect(await end("until_seq = 99")).toBe("fitting_ends_once");
    expect(await end("from_at = from_at - interval '1 day'")).toBe("UPDATE on fitting is refused: what was written stays as written");
  });

  test("a day column takes no time of day", async () => {
    const { rows } = await database.ownerPool.query<{ table_name: string; column_name: string; data_type: string }>(
      "SELECT table_name, column_name, data_type FROM information_schema.columns WHERE table_schema = 'public' AND table_name <> '_prisma_migrations' AND table_name <> 'test_clock' AND (column_name ~ '_(on|at|until)$' OR data_type ~ '^(date|time)')",
    );
    expect(rows.length).toBeGreaterThan(40);
    const wrong = rows.filter(({ column_name, data_type }) => !/^(stopped_at|shift)$/.test(column_name) && data_type !== (/_on$|_on_taught$|^shelf_until$|^today$/.test(column_name) ? "date" : "timestamp with time zone"));
    // Readings at some work are numbers, and so named.
    expect(wrong.map((row) => `${row.table_name}.${row.column_name} ${row.data_type}`).sort()).toEqual(["component_work.dives_at integer", "component_work.minutes_at integer", "component_work.taught_at integer"]);
    // A date cast drops the hour: what goes in is a day, whatever was sent.
    const { rows: kept } = await database.ownerPool.query<{ day: string }>("SELECT ('2026-03-01 23:59:59+14'::date)::text AS day");
    expect(kept).toEqual([{ day: "2026-03-01" }]);
  });
});

describe("counts and numbers", () => {
  test.each(["dives_total", "minutes_total", "taught_total"])("a component's %s does not go down", async (column) => {
    await database.ownerPool.query(`UPDATE component SET ${column} = ${column} + 1 WHERE id = $1`, [spare.parts.gauge]);
    expect(await refusal(`UPDATE component SET ${column} = ${column} - 1 WHERE id = $1`, [spare.parts.gauge])).toBe("UPDATE on component is refused: its count cannot go down");
  });

  test("a reading at past work is never above the reading now", async () => {
    for (const column of ["serviced_dives", "serviced_minutes", "serviced_taught"]) {
      expect(await refusal(`UPDATE component SET ${column} = 100000 WHERE id = $1`, [spare.parts.gauge])).toBe("component_serviced_reading");
      expect(await refusal(`UPDATE component SET ${column} = -1 WHERE id = $1`, [spare.parts.gauge])).toBe("component_serviced_reading");
    }
    for (const column of ["checked_dives", "checked_minutes"]) {
      expect(await refusal(`UPDATE component SET ${column} = 100000 WHERE id = $1`, [spare.parts.gauge])).toBe("component_checked_reading");
    }
  });

  test("a component keeps its model and serial", async () => {
    expect(await refusal("UPDATE component SET serial = 'X' WHERE id = $1", [spare.parts.gauge])).toBe("UPDATE on component is refused: a component keeps its model and serial");
    expect(await refusal("UPDATE component SET model_id = $2 WHERE id = $1", [spare.parts.gauge, room.models.first])).toBe("UPDATE on component is refused: a component keeps its model and serial");
  });

  const onlyByActs = "UPDATE on regulator_set is refused: it changes only by acts, one number at a time";
  test.each(["seq = seq + 2", "seq = seq", "seq = seq - 1", "seq = seq + 1, tag = 'Z-9'", "seq = seq + 1, soiled_seq = 0", "seq = seq + 1, unreleased_seq = 0", "seq = seq + 1, retired_seq = NULL", "seq = seq + 1, evidence_seq = NULL"])(
    "a set's numbers do not jump or run back: %s",
    async (edit) => {
      const owner = await database.ownerPool.connect();
      try {
        await owner.query("BEGIN");
        await owner.query("UPDATE regulator_set SET seq = seq + 1, retired_seq = seq + 1, evidence_seq = seq + 1 WHERE id = $1", [spare.id]);
        await expect(owner.query(`UPDATE regulator_set SET ${edit} WHERE id = $1`, [spare.id])).rejects.toThrow(onlyByActs);
      } finally {
        await owner.query("ROLLBACK");
        owner.release();
      }
    },
  );

  test.each(["soiled_seq", "cleaned_seq", "unreleased_seq", "released_seq", "retired_seq", "evidence_seq"])("%s never runs ahead of the acts", async (column) => {
    expect(await refusal(`UPDATE regulator_set SET seq = seq + 1, ${column} = seq + 2 WHERE id = $1`, [spare.id])).toBe("regulator_set_in_step");
    expect(await refusal(`INSERT INTO regulator_set (tag, site_id, ${column}) VALUES ('N-1', $1, 1)`, [room.site])).toBe("regulator_set_in_step");
  });

  test("an entry of the record carries the number its set has just reached", async () => {
    const entry = "INSERT INTO record_entry (site_id, set_id, seq, act, at, content) SELECT site_id, id, seq + $2, 'cleaned', now(), '{}' FROM regulator_set WHERE id = $1";
    expect(await refusal(entry, [spare.id, 1])).toMatch(/is not the next of its set$/);
    expect(await refusal(entry, [spare.id, -1])).toMatch(/is not the next of its set$/);
    expect(await refusal(entry, [spare.id, 0])).toBe("record_entry_set_id_seq_key");
  });

  test("limits are numbered, and one model has one of each number", async () => {
    expect(await refusal("INSERT INTO model_limits (model_id, nth, has_inspection, cold_rating, manual_page, accepted_by) SELECT model_id, nth, false, 'unknown', 'p', accepted_by FROM model_limits LIMIT 1")).toBe("model_limits_model_id_nth_key");
  });

  test("a request has one answer", async () => {
    expect(await refusal("INSERT INTO command SELECT * FROM command LIMIT 1")).toBe("command_pkey");
  });

  test("a person holds a role at a site once, and a pair of models is approved once", async () => {
    expect(await refusal("INSERT INTO staff_role (staff_id, site_id, role) SELECT staff_id, site_id, role FROM staff_role WHERE until_at IS NULL LIMIT 1")).toBe("staff_role_one_live");
    expect(await refusal("INSERT INTO pairing (first_model_id, second_model_id, manual_page, approved_by) SELECT first_model_id, second_model_id, 'p', approved_by FROM pairing LIMIT 1")).toBe("pairing_one_live");
  });
});

describe("history", () => {
  /** Every table of facts, and what may still be filled in. `null` = nothing at all. */
  const tables: Record<string, readonly string[] | null> = {
    record_entry: null, component_use: null, component_work: null, release: null, model_limits: null, hire: null, notice: null,
    authorisation: null, disinfectant_approval: null, command: null, model: null,
    hire_line: ["back_seq"], fitting: ["until_at"], fault: ["clear_seq"], cleaning_run: ["wet_ended_at"], cleaning_run_set: ["wet_seq"],
    bath: ["emptied_at"], notice_match: ["cleared_at"], staff_role: ["until_at"], pairing: ["withdrawn_at"], disinfectant: ["withdrawn_at"],
    regulator_set: ["seq"], component: ["dives_total"], act_kind: [],
  };

  test.each(Object.keys(tables))("nothing of %s is deleted", async (table) => {
    await fillTable(table);
    expect(await refusal(`DELETE FROM ${table}`)).toBe(`DELETE on ${table} is refused: history is only ever added to`);
    expect(await refusal(`TRUNCATE ${table} CASCADE`)).toMatch(/^TRUNCATE on \w+ is refused: history is only ever added to$/);
  });

  test.each(Object.keys(tables).filter((table) => tables[table] === null))("nothing of %s is changed", async (table) => {
    await fillTable(table);
    const { rows } = await database.ownerPool.query<{ column_name: string }>(
      "SELECT column_name FROM information_schema.columns WHERE table_schema = 'public' AND table_name = $1 AND is_identity = 'NO'",
      [table],
    );
    expect(rows.length).toBeGreaterThan(2);
    for (const { column_name: column } of rows) {
      expect(await refusal(`UPDATE ${table} SET ${column} = ${column}`)).toBe(`UPDATE on ${table} is refused: history is only ever added to`);
    }
  });

  test("every table of history is guarded against deleting", async () => {
    const mutable = ["_prisma_migrations", "test_clock", "site", "staff", "device", "session", "attempt_limit", "security_log", "hirer", "clock_mark", "import_job", "exposure_month", "exposure_mark"];
    const { rows } = await database.ownerPool.query<{ relname: string }>(
      `SELECT c.relname FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r'
         AND NOT EXISTS (SELECT FROM pg_trigger t WHERE t.tgrelid = c.oid AND t.tgname = c.relname || '_no_delete')`,
    );
    expect(rows.map((row) => row.relname).filter((name) => !mutable.includes(name))).toEqual([]);
  });

  /** A row trigger speaks only of rows: one is put into the tables the room has not used. */
  async function fillTable(table: string): Promise<void> {
    if (table === "notice" || table === "notice_match") {
      await database.ownerPool.query(
        `WITH n AS (INSERT INTO notice (title, reference, hazard, remedy, published_on, entered_by) SELECT 'Seats', gen_random_uuid()::text, 'h', 'r', '2026-01-01', id FROM staff LIMIT 1 RETURNING id)
         INSERT INTO notice_match (notice_id, component_id, state, matched_at) SELECT n.id, c.id, 'open', now() FROM n, (SELECT id FROM component LIMIT 1) c`,
      );
    }
    const { rows } = await database.ownerPool.query<{ filled: boolean }>(`SELECT EXISTS (SELECT FROM ${table}) AS filled`);
    expect(rows[0]).toEqual({ filled: true });
  }
});
