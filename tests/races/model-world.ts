/**
 * The kit room as the model test drives it: every step is asked of the database and of the oracle, and
 * the two must say the same. A run lives in one transaction that is rolled back, so that the next one
 * finds the room as it was.
 */
import { randomUUID } from "node:crypto";
import { act } from "@hangrail/db/acts";
import type pg from "pg";
import { expect } from "vitest";
import type { KitRoom, RoomSet } from "../support/kit-room.ts";
import * as oracle from "./oracle.ts";

export const WET_MINUTES = 10;

/** What all runs begin with. */
export interface Ground {
  readonly room: KitRoom;
  readonly sets: readonly RoomSet[];
  /** A gauge that sits in no set. */
  readonly spare: string;
  readonly sites: readonly [home: string, away: string];
  /** Test gauges of each site; `old` is out of its calibration. */
  readonly gauges: Readonly<Record<string, Readonly<Record<"pressure" | "effort" | "old", string>>>>;
  readonly log: oracle.Log;
  readonly startsAt: number;
}

/** Acts that answer a repeated request with the first answer. */
const REPEATABLE = new Set(["hand_out", "take_back", "report_fault", "clear_fault", "start_wash", "end_wet", "finish_wash", "soil_set", "release_sets", "record_work", "refit", "retire_set", "transfer_set", "accept_limits", "mix_bath",
  "record_bench_test", "open_work_order", "take_work_order", "park_work_order", "resume_work_order", "close_work_order", "open_notice", "clear_notice", "confirm_fault", "lift_evidence", "note_custody", "move_kit", "register_set"]);

type Answer = { readonly answer: string; readonly code?: string; readonly [fact: string]: unknown };
interface Asked {
  readonly name: string;
  readonly who: { readonly staff: string; readonly site: string; readonly device: null; readonly request: string };
  readonly values: readonly unknown[];
  readonly answer: Answer;
}

export class World {
  log: oracle.Fact[];
  now: number;
  /** Acts that were done, with their request ids, for asking again. */
  readonly asked: Asked[] = [];
  /** What the record said at some point in between, to see later that it still says so. */
  #earlier: { upTo: string; text: string } | null = null;
  readonly handedOut: { count: number; held: number } = { count: 0, held: 0 };

  constructor(
    readonly ground: Ground,
    readonly client: pg.PoolClient,
  ) {
    this.log = [...ground.log];
    this.now = ground.startsAt;
  }

  set(n: number): RoomSet {
    return this.ground.sets[n % this.ground.sets.length]!;
  }

  siteOf(set: RoomSet, wrong = false): string {
    const site = oracle.siteOf(this.log, set.id);
    return wrong ? this.ground.sites.find((one) => one !== site)! : site;
  }

  note(fact: oracle.Fact extends infer F ? (F extends { at: number } ? Omit<F, "at"> : never) : never): void {
    this.log.push({ ...fact, at: this.now } as oracle.Fact);
  }

  async setClock(minutes: number): Promise<void> {
    await this.client.query("UPDATE test_clock SET stopped_at = to_timestamp($1::float8 * 60)", [minutes]);
  }

  /** Time goes by while the server beats. */
  async tick(minutes: number): Promise<void> {
    if (minutes <= 0) return;
    this.now += minutes;
    await this.client.query("SELECT pass_time(to_timestamp($1::float8 * 60))", [this.now]);
  }

  async ask(name: string, role: "desk" | "wash-room" | "technician" | "manager", site: string, values: readonly unknown[], request: string = randomUUID()): Promise<Answer> {
    const who = { staff: this.ground.room.people[role], site, device: null, request };
    const answer = await this.#call(name, [who, ...values]);
    if (answer.answer === "done") this.asked.push({ name, who, values, answer });
    return answer;
  }

  /** An act that throws takes nothing else of this run with it. */
  async #call(name: string, values: readonly unknown[]): Promise<Answer> {
    await this.client.query("SAVEPOINT act");
    try {
      return await act<Answer>({ acts: this.client } as unknown as Parameters<typeof act>[0], name, values);
    } catch (error) {
      await this.client.query("ROLLBACK TO SAVEPOINT act");
      throw error;
    }
  }

  /** Asks again what was done before: the same answer, and nothing happens. */
  async askAgain(which: number, otherBody: boolean): Promise<void> {
    const earlier = this.asked[which % Math.max(1, this.asked.length)];
    if (earlier === undefined) return;
    const before = await this.marks();
    const values = otherBody ? [...earlier.values.slice(0, -1), earlier.name === "hand_out" ? [{ id: randomUUID(), seq: 1 }] : "other words"] : earlier.values;
    if (otherBody ? !["hand_out", "soil_set", "retire_set", "release_sets"].includes(earlier.name) : !REPEATABLE.has(earlier.name)) return;
    const answer = await this.#call(earlier.name, [earlier.who, ...values]);
    if (otherBody) expect(answer, "a request id is good for one body").toEqual({ answer: "refused", code: "request-reused", facts: {} });
    else expect(answer, "a repeated request hears the first answer").toEqual({ ...earlier.answer, repeat: true });
    expect(await this.marks(), "a repeated request changes nothing").toEqual(before);
  }

  /** The act is done, or refused with the code expected; tells which. */
  async expectAct(expected: string | null, name: string, role: "desk" | "wash-room" | "technician" | "manager", site: string, values: readonly unknown[]): Promise<Answer | null> {
    const before = expected === null ? null : await this.marks();
    const answer = await this.ask(name, role, site, values);
    expect([name, answer.answer === "done" ? null : answer.code ?? answer.answer]).toEqual([name, expected]);
    if (before !== null) expect(await this.marks(), "a refused act changes nothing").toEqual(before);
    return expected === null ? answer : null;
  }

  async marks(): Promise<unknown> {
    const { rows } = await this.client.query(
      "SELECT (SELECT count(*) FROM record_entry) AS entries, (SELECT sum(seq) FROM regulator_set) AS seqs, (SELECT count(*) FROM command) AS commands, (SELECT count(*) FROM hire) AS hires, (SELECT sum(dives_total) FROM component) AS dives, (SELECT count(*) FROM kit_movement) AS kits, (SELECT count(*) FROM bench_test) AS tests, (SELECT count(*) FROM work_order) AS orders, (SELECT count(*) FROM notice_match) AS matches",
    );
    return rows[0];
  }

  async seqs(sets: readonly RoomSet[]): Promise<{ id: string; seq: number }[]> {
    const { rows } = await this.client.query<{ id: string; seq: number }>("SELECT id, seq FROM regulator_set WHERE id = ANY ($1)", [sets.map(({ id }) => id)]);
    return sets.map(({ id }) => rows.find((row) => row.id === id)!);
  }

  async remember(): Promise<void> {
    const { rows } = await this.client.query<{ up_to: string }>("SELECT max(id)::text AS up_to FROM record_entry");
    this.#earlier = { upTo: rows[0]!.up_to, text: await this.#recordUpTo(rows[0]!.up_to) };
  }

  async #recordUpTo(id: string): Promise<string> {
    const { rows } = await this.client.query<{ text: string }>("SELECT md5(string_agg(e::text, '|' ORDER BY id)) AS text FROM record_entry e WHERE id <= $1", [id]);
    return rows[0]!.text;
  }

  /** What must be true whenever nothing is under way. */
  async expectSound(): Promise<void> {
    const broken = async (sentence: string, sql: string) => expect((await this.client.query(sql)).rows, sentence).toEqual([]);
    await broken("a set is with one hirer at a time", "SELECT set_id FROM hire_line WHERE back_at IS NULL GROUP BY set_id HAVING count(*) > 1");
    await broken(
      "a component is with one hirer at a time",
      "SELECT f.component_id FROM fitting f JOIN hire_line h ON h.set_id = f.set_id AND h.back_at IS NULL WHERE f.until_at IS NULL GROUP BY f.component_id HAVING count(*) > 1",
    );
    await broken(
      "between two hand-outs lies one return",
      "SELECT * FROM (SELECT set_id, act, lag(act) OVER (PARTITION BY set_id ORDER BY seq) AS before FROM record_entry WHERE act IN ('handed-out', 'taken-back')) x WHERE act = coalesce(before, 'taken-back')",
    );
    await broken(
      "the record of a set counts 1, 2, 3 and time never runs back in it",
      `SELECT s.id FROM regulator_set s JOIN record_entry e ON e.set_id = s.id GROUP BY s.id HAVING count(*) <> s.seq OR max(e.seq) <> s.seq
       UNION ALL SELECT set_id FROM (SELECT set_id, at < lag(at) OVER (PARTITION BY set_id ORDER BY seq) AS back FROM record_entry WHERE set_id IS NOT NULL) x WHERE back`,
    );
    await broken(
      "what a set's numbers say is what its record says",
      `SELECT s.id FROM regulator_set s LEFT JOIN record_entry e ON e.set_id = s.id LEFT JOIN act_kind k ON k.act = e.act GROUP BY s.id
       HAVING s.soiled_seq <> coalesce(max(e.seq) FILTER (WHERE k.soils), 0) OR s.unreleased_seq <> coalesce(max(e.seq) FILTER (WHERE k.ends_release), 0)
          OR s.cleaned_seq <> coalesce(max(e.seq) FILTER (WHERE e.act = 'cleaned'), 0) OR s.released_seq <> coalesce(max(e.seq) FILTER (WHERE e.act = 'released'), 0)
          OR s.retired_seq IS DISTINCT FROM min(e.seq) FILTER (WHERE e.act = 'retired') OR s.evidence_seq IS DISTINCT FROM (SELECT min(l.seq) FROM record_entry l WHERE l.set_id = s.id AND l.act = 'evidence-locked' AND NOT EXISTS (
               SELECT FROM record_entry f WHERE f.set_id = s.id AND f.act = 'evidence-lifted' AND f.seq > l.seq))
          OR s.retest_seq <> coalesce(max(e.seq) FILTER (WHERE k.asks_test), 0)
          OR s.tested_seq <> coalesce(max(e.seq) FILTER (WHERE e.act = 'bench-tested' AND e.content->>'phase' = 'as-left'), 0)`,
    );
    await broken("a test is one entry of its set's record", "SELECT t.id FROM bench_test t LEFT JOIN record_entry e ON e.set_id = t.set_id AND e.seq = t.seq WHERE e.act IS DISTINCT FROM (CASE WHEN t.verdict = 'fail' OR (t.phase = 'as-left' AND t.verdict <> 'pass') THEN 'bench-test-failed' ELSE 'bench-tested' END) OR e.content->>'verdict' <> t.verdict OR e.content->>'phase' <> t.phase");
    await broken("no set is released that lies on the bench or was not tested", "SELECT s.id FROM regulator_set s WHERE s.released_seq > s.unreleased_seq AND (s.tested_seq < s.retest_seq OR EXISTS (SELECT FROM work_order o WHERE o.set_id = s.id AND o.taken_at IS NOT NULL AND o.done_at IS NULL))");
    await broken("no shelf holds less than nothing", "SELECT site_id FROM kit_movement GROUP BY site_id, kit_id HAVING sum(quantity) < 0");
    await broken("one request, one hire", "SELECT request_id FROM record_entry WHERE act = 'handed-out' GROUP BY request_id, set_id HAVING count(*) > 1");
    await broken("every hire has its request's answer", "SELECT h.id FROM hire h LEFT JOIN command c ON c.request_id = h.request_id WHERE c.answer->>'hire' IS DISTINCT FROM h.id::text");
    await broken(
      "a component's count is the sum of what it lived through",
      "SELECT c.id FROM component c LEFT JOIN component_use u ON u.component_id = c.id GROUP BY c.id HAVING c.dives_total <> coalesce(sum(u.dives), 0) OR c.minutes_total <> coalesce(sum(u.minutes), 0)",
    );
    await this.#expectCounts();
    await this.#expectMatches();
    if (this.#earlier !== null) expect(await this.#recordUpTo(this.#earlier.upTo), "what was recorded stands").toBe(this.#earlier.text);
  }

  async #expectMatches(): Promise<void> {
    const { rows } = await this.client.query<oracle.Match & { state: string }>('SELECT notice_id AS notice, component_id AS component, why, state, cleared_at IS NULL AS open FROM notice_match');
    const expected = oracle.matches(this.log).map((one) => ({ ...one, state: one.why === "near-miss" ? "check" : "open" }));
    const sorted = (all: readonly oracle.Match[]) => [...all].sort((a, b) => (a.notice + a.component < b.notice + b.component ? -1 : 1));
    expect(sorted(rows), "every component a notice is about is matched, also one that came in later").toEqual(sorted(expected));
  }

  async #expectCounts(): Promise<void> {
    const { rows } = await this.client.query<{ id: string; dives: number; minutes: number; since: number }>(
      "SELECT id, dives_total AS dives, minutes_total AS minutes, dives_total - serviced_dives AS since FROM component",
    );
    for (const { id, dives, minutes, since } of rows) {
      const life = oracle.lifeOf(this.log, id);
      expect([id, dives, minutes, since], "dives follow the component").toEqual([id, life.dives, life.minutes, life.sinceService.dives]);
    }
  }
}
