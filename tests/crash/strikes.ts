/** Disturbs one act at every point at which it can be, and says whether all of it or nothing was left. */
import { randomUUID } from "node:crypto";
import { DatabaseBusy, handOut, type Who } from "@hangrail/db/acts";
import { openDatabase, type Database } from "@hangrail/db/database";
import { addDays } from "@hangrail/rules/calendar";
import pg from "pg";
import type { TestServer } from "../support/embedded.ts";
import { aHire, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import type { Answered } from "./claims.ts";
import { readyAgain, type DisturbedAct, type Done } from "./disturbed-acts.ts";
import { difference, photograph } from "./photograph.ts";
import { proxyFor, type Blow, type Proxy } from "./proxy.ts";

export const BLOWS: readonly Blow[] = ["cut", "kill", "swallow"];

/** A kit room with two ways to it: undisturbed, and by way of whatever strikes. */
export interface Struck {
  readonly room: KitRoom;
  readonly sets: readonly [RoomSet, RoomSet];
  readonly admin: pg.Client;
  readonly proxy: Proxy;
  /** One connection alone, so that the messages counted are the act's. */
  readonly db: Database;
  close(): Promise<void>;
}

export async function strikable(room: KitRoom & { readonly sets: readonly RoomSet[] }, server: TestServer): Promise<Struck> {
  const admin = new pg.Client({ connectionString: Object.assign(new URL(server.adminUrl), { pathname: `/${room.database.name}` }).href });
  await admin.connect();
  const kill = async (session: number) => void (await admin.query("SELECT pg_terminate_backend($1, 5000)", [session]));
  const proxy = await proxyFor(room.database.url, kill);
  const db = openDatabase({ appUrl: proxy.url, actConnections: 1, readConnections: 1 });
  return {
    room,
    sets: [room.sets[0]!, room.sets[1]!],
    admin,
    proxy,
    db,
    async close() {
      await db.close();
      await proxy.close();
      await admin.end();
    },
  };
}

/** What a run of strikes met: how often nothing was left, how often all, and whatever was wrong. */
export interface Toll {
  points: number;
  nothing: number;
  all: number;
  readonly wrong: string[];
}
const noToll = (): Toll => ({ points: 0, nothing: 0, all: 0, wrong: [] });

/** Which points are struck: all of them, or every so many from one on. */
export interface Points {
  readonly from: number;
  readonly step: number;
}
export const ALL: Points = { from: 1, step: 1 };

/** Strikes at the first message, the second, and so on, until the act gets through before the blow falls. */
export async function atEveryMessage(at: Struck, act: DisturbedAct, blow: Blow, { from, step }: Points = ALL): Promise<Toll> {
  const toll = noToll();
  const whole = await undisturbed(at, act);
  for (let n = from; n < 200; n += step) {
    // The connection is there already, and no word of the last act is still on its way.
    await at.db.acts.query("SELECT 1");
    const fell = await trial(at, act, whole, toll, `${blow} at message ${n}`, {
      arm: () => Promise.resolve(at.proxy.arm(n, blow)),
      disarm: async () => {
        const session = at.proxy.disarm();
        if (session !== null) await isGone(at, session);
        return session !== null;
      },
    });
    if (!fell) return toll;
    toll.points += 1;
  }
  throw new Error(`${act.name} does not come to an end.`);
}

/** How an act dies at a write: its session is ended by the database, or the statement fails. */
export type Death = "ended" | "failed";

/** Puts the steps in: from now on an act of this database can die right before its n-th row is written, or right before it commits. */
export async function countWrites({ admin }: Pick<Struck, "admin">): Promise<void> {
  await admin.query(`
    CREATE TABLE crash_at (step bigint, death text);
    INSERT INTO crash_at VALUES (NULL, NULL);
    CREATE SEQUENCE crash_step;
    -- A sequence counts on whatever is rolled back. Ending a session asks for a superuser.
    CREATE FUNCTION crash_here() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = public AS $$
    DECLARE at crash_at;
    BEGIN
      SELECT * INTO at FROM crash_at;
      IF at.step IS NOT NULL AND nextval('crash_step') = at.step THEN
        IF at.death = 'failed' THEN RAISE EXCEPTION 'Failed at write %', at.step; END IF;
        PERFORM pg_terminate_backend(pg_backend_pid(), 5000);
      END IF;
      RETURN coalesce(NEW, OLD);
    END $$;
    DO $$
    DECLARE t text;
    BEGIN
      FOR t IN SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relname NOT IN ('crash_at', 'test_clock', '_prisma_migrations') LOOP
        EXECUTE format('CREATE TRIGGER crash_here BEFORE INSERT OR UPDATE OR DELETE ON %I FOR EACH ROW EXECUTE FUNCTION crash_here()', t);
      END LOOP;
    END $$;
    CREATE CONSTRAINT TRIGGER crash_at_commit AFTER INSERT ON record_entry DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION crash_here()`);
}

/** Dies before the first row is written, before the second, and so on to the commit, until the act gets through. */
export async function atEveryWrite(at: Struck, act: DisturbedAct, death: Death, { from, step }: Points = ALL): Promise<Toll> {
  const toll = noToll();
  const whole = await undisturbed(at, act);
  for (let n = from; n < 400; n += step) {
    await at.db.acts.query("SELECT 1");
    const fell = await trial(at, act, whole, toll, `${death} at write ${n}`, {
      arm: async () => {
        await at.admin.query("ALTER SEQUENCE crash_step RESTART");
        await at.admin.query("UPDATE crash_at SET step = $1, death = $2", [n, death]);
      },
      disarm: async () => {
        const { rows } = await at.admin.query<{ fell: boolean }>("UPDATE crash_at SET step = NULL RETURNING (SELECT is_called AND last_value >= $1 FROM crash_step) AS fell", [n]);
        return rows[0]!.fell;
      },
    });
    if (!fell) return toll;
    toll.points += 1;
  }
  throw new Error(`${act.name} does not come to an end.`);
}

/** What the whole act leaves behind. */
interface Whole {
  readonly rows: Readonly<Record<string, number>>;
  readonly entries: number;
}

async function begun(at: Struck, act: DisturbedAct): Promise<{ readonly asked: Done; readonly who: Who }> {
  await readyAgain(at.room, at.sets);
  return { asked: await act.begin(at.room, at.sets), who: at.room.by(act.role, randomUUID()) };
}

async function undisturbed(at: Struck, act: DisturbedAct): Promise<Whole> {
  const { asked, who } = await begun(at, act);
  const owner = at.room.database.ownerPool;
  const before = await photograph(owner);
  const answer = await asked(at.room.db, who);
  if (answer.answer !== "done") throw new Error(`${act.name} was not done: ${JSON.stringify(answer)}`);
  const rows = newRows(difference(before, await photograph(owner)));
  const { entries } = (await kept(at, who.request))!;
  await act.after?.(at.room);
  if (Object.keys(rows).length === 0 || entries === 0) throw new Error(`${act.name} leaves nothing behind.`);
  return { rows, entries };
}

/** One blow. Answers whether it fell; the act is done when this returns, and its sets can be used again. */
async function trial(at: Struck, act: DisturbedAct, whole: Whole, toll: Toll, where: string, blow: { arm(): Promise<void>; disarm(): Promise<boolean> }): Promise<boolean> {
  const wrong = (what: string) => toll.wrong.push(`${act.name}, ${where}: ${what}`);
  const owner = at.room.database.ownerPool;
  const { asked, who } = await begun(at, act);
  const [before, held] = [await photograph(owner), await holds(at)];

  await blow.arm();
  const outcome = await asked(at.db, who).then((answer) => ({ answer }), (error: unknown) => ({ error }));
  const fell = await blow.disarm();

  const left = difference(before, await photograph(owner));
  const first = await kept(at, who.request);
  const nothing = Object.keys(left).length === 0;
  const all = first !== null && JSON.stringify(newRows(left)) === JSON.stringify(whole.rows) && first.entries === whole.entries;
  if (!nothing && !all) wrong(`half an act is left: ${JSON.stringify(left)} instead of ${JSON.stringify(whole.rows)}`);
  if (fell && nothing) toll.nothing += 1;
  if (fell && all) toll.all += 1;
  if ("answer" in outcome && !all) wrong("it was acknowledged and is not there");
  if ("error" in outcome && !fell) wrong(`it failed by itself: ${String(outcome.error)}`);
  if ("error" in outcome && !(outcome.error instanceof DatabaseBusy) && !/Failed at write/.test(String(outcome.error))) wrong(`the desk was told nothing it can use: ${String(outcome.error)}`);

  // The gate asks the database itself, in the state the blow left.
  if (nothing) for (const [set, codes] of held) if (codes.length > 0) await mustHold(at, set, codes, wrong);

  const repeat = await asked(at.db, who).catch((error: unknown) => ({ answer: `failed: ${String(error)}` }));
  const now = await kept(at, who.request);
  const expected = first === null ? now?.answer : { ...first.answer, repeat: true };
  if (repeat.answer !== "done" || !isSame(repeat, expected)) wrong(`the repeat answers ${JSON.stringify(repeat)}, not ${JSON.stringify(expected)}`);
  const again = await asked(at.db, who).catch((error: unknown) => ({ answer: `failed: ${String(error)}` }));
  if (!isSame(again, { ...now?.answer, repeat: true })) wrong(`the second repeat answers ${JSON.stringify(again)}`);
  if (now?.entries !== whole.entries || JSON.stringify(newRows(difference(before, await photograph(owner)))) !== JSON.stringify(whole.rows)) wrong("the repeats did not come to one whole act");
  for (const [set, codes] of await holds(at)) if (codes.length > 0) await mustHold(at, set, codes, wrong);
  await act.after?.(at.room);
  return fell;
}

/** Without what changed in its place: a second service on one day changes nothing. Whether changed rows say what the record tells is looked at in the end. */
function newRows(left: ReturnType<typeof difference>): Record<string, number> {
  return Object.fromEntries(Object.entries(left).filter((one): one is [string, number] => one[1] !== "changed"));
}

async function kept(at: Struck, request: string): Promise<{ readonly answer: Answered; readonly entries: number } | null> {
  const { rows } = await at.room.database.ownerPool.query<{ answer: Answered; entries: number }>(
    "SELECT answer, (SELECT count(*)::int FROM record_entry e WHERE e.request_id = c.request_id) AS entries FROM command c WHERE request_id = $1",
    [request],
  );
  return rows[0] ?? null;
}

const terms = async ({ room }: Struck) => aHire(addDays(await room.today(), 1));

/** Why each set may not go out, as the database's own check sees it. */
async function holds(at: Struck): Promise<ReadonlyMap<RoomSet, readonly string[]>> {
  const { backOn, dives, minutes, teaching } = await terms(at);
  const codes = async ({ id }: RoomSet) =>
    (await at.room.database.ownerPool.query<{ code: string }>("SELECT DISTINCT code FROM heart_holds($1, $2, $3, $4, $5, $6) ORDER BY 1", [id, await at.room.today(), backOn, dives, minutes, teaching])).rows.map(({ code }) => code);
  return new Map([[at.sets[0], await codes(at.sets[0])], [at.sets[1], await codes(at.sets[1])]]);
}

async function mustHold(at: Struck, set: RoomSet, codes: readonly string[], wrong: (what: string) => void): Promise<void> {
  const answer = await handOut(at.room.db, at.room.by("desk"), await terms(at), await at.room.seen([set]));
  if (answer.answer === "done") wrong(`${set.tag} went out although it is held: ${codes.join(", ")}`);
}

function isSame(one: object, other: object | undefined): boolean {
  const text = (value: object) => JSON.stringify(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  return other !== undefined && text(one) === text(other);
}

/** A session that was cut off may still be at work: it is waited for. */
async function isGone({ admin }: Struck, session: number): Promise<void> {
  const deadline = performance.now() + 10_000;
  while ((await admin.query("SELECT FROM pg_stat_activity WHERE pid = $1", [session])).rowCount !== 0) {
    if (performance.now() > deadline) throw new Error(`The session ${session} does not end.`);
  }
}
