/** What the race tests share: taking a guard away, bringing sets back to ready, waiting for a state without sleeping. */
import { takeBack } from "@hangrail/db/acts";
import { clearFault, clearNotice, closeWorkOrder, liftEvidence } from "@hangrail/db/bench-acts";
import type pg from "pg";
import { backDry, done, type KitRoom, type RoomSet } from "../support/kit-room.ts";

/** One change of a SQL function's text: what stands there, and what a careless hand would have written. */
export interface Mutation {
  readonly of: string;
  readonly was: string;
  readonly is: string;
}

/** Puts the changed text in the place of the function. Throws when the text to change is not there any more. Answers how to put it back. */
export async function mutate(owner: pg.Pool, ...mutations: readonly Mutation[]): Promise<() => Promise<void>> {
  const sound: string[] = [];
  for (const { of, was, is } of mutations) {
    const { rows } = await owner.query<{ text: string }>("SELECT pg_get_functiondef($1::regproc) AS text", [of]);
    const text = rows[0]!.text;
    if (!text.includes(was)) throw new Error(`The function ${of} does not hold the text "${was}" any more: name its guard anew.`);
    sound.unshift(text);
    await owner.query(text.replace(was, is));
  }
  return async () => {
    for (const text of sound) await owner.query(text);
  };
}

/** The row lock that every act takes on its sets. */
export const WITHOUT_LOCK: Mutation = { of: "lock_sets", was: "ORDER BY id FOR UPDATE", is: "ORDER BY id" };

interface Unready {
  readonly id: string;
  readonly out: boolean;
  readonly faults: string[] | null;
  readonly order: string | null;
  readonly sealed: boolean;
  readonly notices: { notice: string; component: string }[] | null;
  readonly unreleased: boolean;
  readonly unclean: boolean;
}

/** Takes back, unseals, takes off the bench, clears, tests, releases and washes whatever of these sets asks for it, by the acts. */
export async function makeReadyAgain(room: KitRoom, sets: readonly RoomSet[]): Promise<void> {
  const ask = async (): Promise<Unready[]> =>
    (
      await room.database.ownerPool.query<Unready>(
        `SELECT s.id, EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL) AS out, s.released_seq <= s.unreleased_seq AS unreleased, s.cleaned_seq <= s.soiled_seq AS unclean, s.evidence_seq IS NOT NULL AS sealed,
                (SELECT id FROM work_order o WHERE o.set_id = s.id AND o.done_at IS NULL ORDER BY taken_at LIMIT 1) AS order,
                (SELECT array_agg(id) FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL) AS faults,
                (SELECT jsonb_agg(jsonb_build_object('notice', n.notice_id, 'component', n.component_id)) FROM notice_match n JOIN fitting f ON f.component_id = n.component_id AND f.until_at IS NULL
                  WHERE f.set_id = s.id AND n.cleared_at IS NULL) AS notices
           FROM regulator_set s WHERE s.id = ANY ($1) ORDER BY s.id`,
        [sets.map(({ id }) => id)],
      )
    ).rows;
  const out = (await ask()).filter((set) => set.out);
  if (out.length > 0) done(await takeBack(room.db, room.by("desk"), out.map(({ id }) => backDry(id))));
  for (const { id, faults, notices, order, sealed } of await ask()) {
    if (sealed) done(await liftEvidence(room.db, room.by("manager"), id, "Harbour police", "Closed"));
    if (order !== null) done(await closeWorkOrder(room.db, room.by("technician"), order, { outcome: "dropped", minutes: null, words: "" }));
    for (const fault of faults ?? []) done(await clearFault(room.db, room.by("technician"), fault, "mended", "Seat renewed", false));
    for (const { notice, component } of notices ?? []) done(await clearNotice(room.db, room.by("technician"), notice, component, "Part renewed"));
  }
  const now = await ask();
  const unreleased = now.filter((set) => set.unreleased);
  if (unreleased.length > 0) await room.release(unreleased);
  const unclean = now.filter((set) => set.unclean);
  if (unclean.length > 0) await room.wash(unclean);
}

/** Asks again and again until the answer is yes; throws after the deadline with what was waited for. */
export async function until(what: string, yes: () => Promise<boolean>, withinMs = 10_000): Promise<void> {
  const deadline = performance.now() + withinMs;
  while (!(await yes())) {
    if (performance.now() > deadline) throw new Error(`Waited ${withinMs} ms in vain: ${what}`);
  }
}

/** Whether so many sessions of this database wait for a lock now. */
export async function areWaiting(owner: pg.Pool, sessions: number): Promise<boolean> {
  const { rows } = await owner.query<{ waiting: number }>(
    "SELECT count(DISTINCT l.pid)::int AS waiting FROM pg_locks l JOIN pg_stat_activity a ON a.pid = l.pid WHERE NOT l.granted AND a.datname = current_database()",
  );
  return rows[0]!.waiting >= sessions;
}

/** The acts on a set after a sequence number, in order. */
export async function actsAfter(room: KitRoom, set: string, seq: number): Promise<{ act: string; seq: number; at: Date; id: number }[]> {
  const { rows } = await room.database.ownerPool.query<{ act: string; seq: number; at: Date; id: number }>(
    "SELECT act, seq, at, id::int FROM record_entry WHERE set_id = $1 AND seq > $2 ORDER BY seq",
    [set, seq],
  );
  return rows;
}

/** Where the record of a set does not count 1, 2, 3 … or time runs back in it. */
export async function recordGaps(owner: pg.Pool): Promise<string[]> {
  const { rows } = await owner.query(
    `SELECT s.tag, count(e.id)::int AS entries, s.seq FROM regulator_set s LEFT JOIN record_entry e ON e.set_id = s.id GROUP BY s.id HAVING count(e.id) <> s.seq OR max(e.seq) <> s.seq
     UNION ALL SELECT s.tag, NULL, e.seq FROM (SELECT set_id, seq, at < lag(at) OVER (PARTITION BY set_id ORDER BY seq) AS back FROM record_entry WHERE set_id IS NOT NULL) e JOIN regulator_set s ON s.id = e.set_id WHERE e.back`,
  );
  return rows.map((row) => `the record has a gap or runs back: ${JSON.stringify(row)}`);
}

/** Throws unless the record of every set counts 1, 2, 3 … without a gap and time never runs back in it. */
export async function expectWholeRecord(owner: pg.Pool): Promise<void> {
  const gaps = await recordGaps(owner);
  if (gaps.length > 0) throw new Error(gaps.slice(0, 5).join("; "));
}

/** Sets for which the record of hires shows two hirers at once. */
export async function heldTwice({ database }: KitRoom): Promise<string[]> {
  const { rows } = await database.ownerPool.query<{ tag: string }>(
    `SELECT DISTINCT s.tag FROM hire_line a JOIN hire_line b ON b.set_id = a.set_id AND b.id <> a.id JOIN regulator_set s ON s.id = a.set_id
      WHERE a.out_at < coalesce(b.back_at, 'infinity') AND b.out_at < coalesce(a.back_at, 'infinity') AND (a.out_at, a.id) < (b.out_at, b.id)`,
  );
  return rows.map(({ tag }) => tag);
}

/** Sets whose record tells a story that cannot be: out twice without coming back, or out while unclean, unreleased or faulty. */
export async function impossibleRecords({ database }: KitRoom): Promise<string[]> {
  const { rows } = await database.ownerPool.query<{ tag: string; act: string; seq: number }>(
    `SELECT s.tag, e.act, e.seq FROM record_entry e JOIN regulator_set s ON s.id = e.set_id
      WHERE e.act = 'handed-out' AND (
        (SELECT count(*) FILTER (WHERE act = 'handed-out') - count(*) FILTER (WHERE act = 'taken-back') FROM record_entry x WHERE x.set_id = e.set_id AND x.seq < e.seq) <> 0
        OR (SELECT max(seq) FROM record_entry x JOIN act_kind k USING (act) WHERE x.set_id = e.set_id AND x.seq < e.seq AND k.soils)
           > (SELECT max(seq) FROM record_entry x WHERE x.set_id = e.set_id AND x.seq < e.seq AND x.act = 'cleaned')
        OR (SELECT max(seq) FROM record_entry x JOIN act_kind k USING (act) WHERE x.set_id = e.set_id AND x.seq < e.seq AND k.ends_release)
           > (SELECT max(seq) FROM record_entry x WHERE x.set_id = e.set_id AND x.seq < e.seq AND x.act = 'released')
        OR EXISTS (SELECT FROM fault f WHERE f.set_id = e.set_id AND f.severity <> 'watch' AND f.report_seq < e.seq AND coalesce(f.clear_seq, e.seq) >= e.seq))`,
  );
  return rows.map(({ tag, seq }) => `${tag} at ${seq}`);
}
