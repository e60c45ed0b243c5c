/** Several desks at work at once: each looks at a set and does with it what comes next, whatever that is. */
import { randomUUID } from "node:crypto";
import { setTimeout as wait } from "node:timers/promises";
import { acceptLimits, DatabaseBusy, endWet, finishWash, handOut, mixBath, refit, soilSet, startWash, takeBack, type Who } from "@hangrail/db/acts";
import { clearFault, closeWorkOrder, openWorkOrder, recordBenchTest, recordWork, releaseSets, reportFault } from "@hangrail/db/bench-acts";
import type { StaffRole } from "@hangrail/db/people-acts";
import { acceptPlan } from "@hangrail/db/plan-acts";
import { addDays } from "@hangrail/rules/calendar";
import { aHire, AMPLE, backDry, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import type { Answered, Attempt } from "./claims.ts";
import { passedReadings } from "./disturbed-acts.ts";

interface Standing {
  readonly id: string;
  readonly seq: number;
  readonly out: boolean;
  readonly fault: string | null;
  readonly order: string | null;
  readonly run: string | null;
  readonly wet: boolean | null;
  readonly gauge: boolean;
  readonly untested: boolean;
  readonly unreleased: boolean;
  readonly unclean: boolean;
}

export interface Load {
  /** Every act that was asked for, with its answer where there was one. */
  readonly attempts: readonly Attempt[];
  /** Resolves when so many acts more have been done, or when no desk works any more. */
  done(more: number): Promise<void>;
  /** The longest that any one call took to be answered or to fail, in milliseconds. */
  slowest(): number;
  /** What a desk was told that it can do nothing with. */
  readonly unnamed: readonly string[];
  /** Lets every desk finish what it is at. */
  stop(): Promise<void>;
}

/**
 * `stubborn` desks ask again, under the same request id, until they are answered; the others go home at
 * the first act that is not answered.
 */
export function work(room: KitRoom & { readonly sets: readonly RoomSet[] }, desks: number, random: (below: number) => number, { stubborn = false } = {}): Load {
  const attempts: Attempt[] = [];
  const unnamed: string[] = [];
  const waiting: { at: number; go: () => void }[] = [];
  let [finished, slowest, stopped, atWork] = [0, 0, false, desks];

  async function timed(call: () => Promise<Answered>): Promise<Answered | null> {
    const began = performance.now();
    try {
      return await call();
    } catch (error) {
      if (!(error instanceof DatabaseBusy)) unnamed.push(`${(error as { code?: string }).code ?? "no code"}: ${String(error)}`);
      return null;
    } finally {
      slowest = Math.max(slowest, performance.now() - began);
    }
  }

  function tell(): void {
    for (const one of waiting) if (finished >= one.at || atWork === 0) one.go();
  }

  async function desk(): Promise<void> {
    while (!stopped) {
      const asked = await next(room, random).catch(() => null);
      // Nothing to be seen: the database is away.
      if (asked === null && !stubborn) break;
      if (asked === null) {
        await wait(20);
        continue;
      }
      for (const one of asked) {
        const attempt: Attempt = { ...one, answer: null };
        attempts.push(attempt);
        attempt.answer = await timed(attempt.call);
        while (attempt.answer === null && stubborn) {
          await wait(20);
          attempt.answer = await timed(attempt.call);
        }
        if (attempt.answer === null) return;
        if (attempt.answer.answer === "done") finished += 1;
        tell();
      }
    }
  }

  const all = Promise.all(
    Array.from({ length: desks }, () =>
      desk().finally(() => {
        atWork -= 1;
        tell();
      }),
    ),
  );
  return {
    attempts,
    unnamed,
    slowest: () => slowest,
    done: (more) => new Promise<void>((go) => {
      waiting.push({ at: finished + more, go });
      tell();
    }),
    async stop() {
      stopped = true;
      await all;
    },
  };
}

type Asked = Omit<Attempt, "answer">;

/** What comes next for a set picked by chance; null when the database does not answer. */
async function next(room: KitRoom & { readonly sets: readonly RoomSet[] }, random: (below: number) => number): Promise<Asked[]> {
  const { rows } = await room.db.reads.query<Standing>(
    `SELECT s.id, s.seq, EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL) AS out, s.tested_seq < s.retest_seq AS untested,
            s.released_seq <= s.unreleased_seq AS unreleased, s.cleaned_seq <= s.soiled_seq AS unclean,
            (SELECT id FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL LIMIT 1) AS fault, (SELECT id FROM work_order o WHERE o.set_id = s.id AND o.done_at IS NULL LIMIT 1) AS order,
            w.run_id AS run, w.wet_seq IS NULL AS wet, EXISTS (SELECT FROM fitting f WHERE f.set_id = s.id AND f.position = 'gauge' AND f.until_at IS NULL) AS gauge
       FROM regulator_set s LEFT JOIN cleaning_run_set w ON w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL WHERE s.id = ANY ($1) ORDER BY s.tag`,
    [room.sets.map(({ id }) => id)],
  );
  const set = rows[random(rows.length)]!;
  const parts = room.sets.find(({ id }) => id === set.id)!.parts;
  const asked = (act: string, role: StaffRole, entries: number, call: (who: Who) => Promise<Answered>): Asked => {
    const who = room.by(role, randomUUID());
    return { request: who.request, act, entries, call: () => call(who) };
  };
  const one = (act: string, role: StaffRole, call: (who: Who) => Promise<Answered>): Asked[] => [asked(act, role, 1, call)];
  const { db } = room;

  if (set.out) {
    const problem = random(5) === 0;
    const fault = problem ? ({ code: "SS-02", severity: "out", component: parts.primary } as const) : null;
    const line = backDry(set.id, { dives: 1, minutes: 40, waterKind: "sea", problem, words: problem ? "Free flow" : null, fault });
    return [asked("take-back", "desk", problem ? 2 : 1, (who) => takeBack(db, who, [line]))];
  }
  if (set.fault !== null) {
    // Decided once: a repeat says the same.
    const opened = random(2) === 0;
    return one("clear-fault", "technician", (who) => clearFault(db, who, set.fault!, "mended", "Seat renewed", opened));
  }
  if (set.order !== null && random(2) === 0) return one("close-order", "technician", (who) => closeWorkOrder(db, who, set.order!, { outcome: "dropped", minutes: null, words: "" }));
  if (!set.gauge) return one("fit", "technician", (who) => refit(db, who, set, null, parts.gauge, "gauge", "Dried"));
  if (set.untested && random(8) > 0) {
    const readings = await passedReadings(room, set);
    return one("bench-test", "technician", (who) => recordBenchTest(db, who, set.id, { phase: "as-left", verdict: "pass", words: "", order: null, readings, curves: [] }));
  }
  if (set.unreleased) return one("release", "technician", (who) => releaseSets(db, who, [set.id], "Tested"));
  if (set.run !== null) {
    // Time goes by for everybody: nothing waits for a bath here.
    await room.clock.advance(set.wet === true ? 10 : 30);
    const others = rows.filter(({ run }) => run === set.run).map(({ id }) => id);
    if (set.wet === true) return [asked("end-wet", "wash-room", others.length, (who) => endWet(db, who, set.run!))];
    return [asked("finish-wash", "wash-room", others.length, (who) => finishWash(db, who, set.run!, others))];
  }
  if (set.unclean) {
    const unclean = rows.filter((other) => other.unclean && other.run === null && !other.out && other.fault === null && !other.untested && !other.unreleased && other.gauge).slice(0, 4).map(({ id }) => id);
    let bath: string | undefined;
    return [
      asked("mix-bath", "wash-room", 1, async (who) => {
        const answer = await mixBath(db, who, { product: room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 });
        bath = answer.answer === "done" ? answer.bath : bath;
        return answer;
      }),
      asked("start-wash", "wash-room", unclean.length, (who) => startWash(db, who, bath!, unclean)),
    ];
  }
  switch (random(16)) {
    case 0:
      return one("report-fault", "desk", (who) => reportFault(db, who, set.id, { code: "SS-02", severity: "out", component: parts.primary, where: "desk", words: "" }));
    case 1:
      return one("take-off", "technician", (who) => refit(db, who, { id: set.id, seq: null }, parts.gauge, null, "gauge", "Fogged"));
    case 2:
      return one("service", "technician", (who) => recordWork(db, who, set.id, { kind: "service", components: [parts.primary], oxygenClean: false, words: "Kit", kits: room.kitsFor([parts.primary]) }));
    case 3:
      return one("soil", "wash-room", (who) => soilSet(db, who, set.id, "breath-tested", "Tried"));
    case 4:
      return [asked("accept-limits", "technician", room.sets.length, (who) => acceptLimits(db, who, room.models.gauge, AMPLE))];
    case 5:
      return one("open-order", "technician", (who) => openWorkOrder(db, who, set.id, { kind: "inspection", fault: null, notice: null, weekOn: null, words: "" }));
    case 6: {
      const from = addDays(await room.today(), 7);
      const monday = addDays(from, -((new Date(`${from}T00:00:00Z`).getUTCDay() + 6) % 7));
      const lines = [{ set: set.id, seq: set.seq, kind: "inspection" as const, weekOn: monday, locked: false, why: {} }];
      return one("accept-plan", "manager", (who) => acceptPlan(db, who, { fromOn: monday, weeks: 4, cost: 1, bound: 1, gapPpm: 0, settings: {}, words: "", lines }));
    }
    default: {
      const party = [set, ...rows.filter((other) => other.id !== set.id && !other.out && !other.unclean && !other.unreleased && other.fault === null).slice(0, random(3))];
      const hire = aHire(addDays(await room.today(), 1));
      return [asked("hand-out", "desk", party.length, (who) => handOut(db, who, hire, party.map(({ id, seq }) => ({ id, seq }))))];
    }
  }
}
