/** The heart of the gate, timed against a bare commit of the same rows. */
import { randomUUID } from "node:crypto";
import * as acts from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { addDays, dayOf } from "@hangrail/rules/calendar";
import type pg from "pg";
import type { MeasuredSite } from "./fleet-writer.ts";
import { median, ratioLine, sampleOf, type Sample } from "./measure.ts";

const PAIRS = 5;

/** The record without its triggers: the same row, the same indexes and references, nothing reckoned. */
const PLAIN_RECORD = `
  CREATE TABLE IF NOT EXISTS bare_entry (LIKE record_entry INCLUDING DEFAULTS INCLUDING IDENTITY INCLUDING CONSTRAINTS INCLUDING INDEXES,
    FOREIGN KEY (site_id) REFERENCES site, FOREIGN KEY (set_id) REFERENCES regulator_set, FOREIGN KEY (act) REFERENCES act_kind, FOREIGN KEY (by) REFERENCES staff)`;

/** The SQL function against a bare one-statement commit of the same rows, in turns, the median of five pairs. */
export async function measureHandOut(owner: pg.Pool, db: Database, { site, staff }: MeasuredSite): Promise<Sample> {
  const { rows } = await owner.query<{ id: string }>("SELECT id FROM regulator_set WHERE site_id = $1 ORDER BY id LIMIT 400", [site]);
  const ids = rows.map(({ id }) => id);
  await owner.query(PLAIN_RECORD);
  let alone: Sample = { p50: Number.NaN, p99: Number.NaN };
  for (const clients of [1, 20]) {
    const rounds = Math.ceil(600 / ids.length);
    const p50s: number[] = [];
    const p99s: number[] = [];
    let last: { act: Sample; bare: Sample } | null = null;
    for (let pair = 0; pair < PAIRS; pair += 1) {
      const bare = await inRounds(rounds, clients, ids, async (id) => bareCommit(owner, id, site, staff));
      let seqs = new Map<string, number>();
      const act = await inRounds(
        rounds,
        clients,
        ids,
        async (id) => {
          const answer = await acts.handOut(db, { staff, site, device: null, request: randomUUID() }, plainHire(), [{ id, seq: seqs.get(id)! }]);
          if (answer.answer !== "done") throw new Error(`The hand-out measured was not one: ${JSON.stringify(answer)}`);
        },
        // Taking back and washing are not measured: the owner does them for all sets between two rounds.
        async () => void (seqs = await makeReady(owner, ids)),
      );
      p50s.push(act.p50 / bare.p50);
      p99s.push(act.p99 / bare.p99);
      last = { act, bare };
    }
    console.log(ratioLine(`hand-out / bare commit of the same rows, p50, ${clients} at once`, median(p50s), null, `p50 ${last!.act.p50.toFixed(2)} ms, p99 ${last!.act.p99.toFixed(2)} ms against p50 ${last!.bare.p50.toFixed(2)} ms, p99 ${last!.bare.p99.toFixed(2)} ms`));
    console.log(ratioLine(`hand-out / bare commit of the same rows, p99, ${clients} at once`, median(p99s), 1.8, `pairs ${p99s.map((r) => r.toFixed(2)).join(" ")}`));
    if (clients === 1) alone = last!.act;
  }
  return alone;
}

/** Every set once a round, shared out among so many clients at once. */
async function inRounds(rounds: number, clients: number, ids: readonly string[], one: (id: string) => Promise<void>, before: () => Promise<void> = async () => undefined): Promise<Sample> {
  const taken: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    await before();
    const waiting = [...ids];
    await Promise.all(
      Array.from({ length: clients }, async () => {
        for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
          const began = performance.now();
          await one(id);
          taken.push(performance.now() - began);
        }
      }),
    );
  }
  return sampleOf(taken);
}

export function plainHire(): acts.HireInput {
  const today = dayOf(Date.now(), "UTC");
  return { hirer: "Somebody", contact: null, backOn: addDays(today, 1), dives: 2, minutes: 120, teaching: false, cylinderConnection: "din-300", cylinderBar: 232, o2Tenths: 210, waterTenthsC: 150, depthM: 18 };
}

/** As if taken back, washed and dried, by the owner's hand. Answers where each set's numbers stand. */
export async function makeReady(owner: pg.Pool, ids: readonly string[]): Promise<Map<string, number>> {
  await owner.query(
    `UPDATE hire_line SET back_seq = out_seq + 1, back_at = kitroom_clock(), back_by = (SELECT id FROM staff LIMIT 1), dives = 1, minutes = 60, estimated = false, water_kind = 'sea', problem = false
     WHERE set_id = ANY ($1) AND back_at IS NULL`,
    [ids],
  );
  const { rows } = await owner.query<{ id: string; seq: number }>("UPDATE regulator_set SET seq = seq + 1, cleaned_seq = seq + 1 WHERE id = ANY ($1) RETURNING id, seq", [ids]);
  return new Map(rows.map(({ id, seq }) => [id, seq]));
}

/** The same rows in one statement, with nothing checked. */
async function bareCommit(owner: pg.Pool, set: string, site: string, staff: string): Promise<void> {
  await owner.query({
    name: "bare",
    text: `
      WITH n AS (INSERT INTO hirer (name) VALUES ('Somebody') RETURNING id),
        h AS (INSERT INTO hire (site_id, hirer_id, back_on, dives, minutes, teaching, cylinder_connection, cylinder_bar, o2_tenths, water_tenths_c, depth_m, out_at, out_by, request_id)
              SELECT $2, id, current_date, 2, 120, false, 'din-300', 232, 210, 150, 18, kitroom_clock(), $3, gen_random_uuid() FROM n RETURNING id),
        s AS (UPDATE regulator_set SET seq = seq + 1, last_at = kitroom_clock() WHERE id = $1 RETURNING seq),
        l AS (INSERT INTO hire_line (hire_id, set_id, out_seq, out_at, back_on, back_seq, back_at, back_by, dives, minutes, estimated, water_kind, problem)
              SELECT h.id, $1, 1, kitroom_clock(), current_date, 2, kitroom_clock(), $3, 1, 60, false, 'sea', false FROM h),
        e AS (INSERT INTO bare_entry (site_id, set_id, seq, act, at, by, request_id, content, prev_hash, hash)
              SELECT $2, $1, seq, 'handed-out', kitroom_clock(), $3, gen_random_uuid(), '{"backOn": "2026-01-01", "dives": 2, "minutes": 120, "teaching": false}', decode(repeat('00', 32), 'hex'), decode(repeat('00', 32), 'hex') FROM s)
      INSERT INTO command (request_id, act, body_hash, answer, at) VALUES (gen_random_uuid(), 'hand-out', sha256('x'), '{"answer": "done"}', kitroom_clock())`,
    values: [set, site, staff],
  });
}
