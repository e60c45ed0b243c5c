/** Fills an empty database with an invented dive centre and a year and a half of its days. */
import { ownerPool } from "@hangrail/db/connect";
import { openDatabase } from "@hangrail/db/database";
import { OperatorError } from "@hangrail/db/operator-error";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { benchDay } from "./bench-round.ts";
import { planLastDays, playToday } from "./closing.ts";
import { demoClockOf, replaceClock, restoreClock, takeSeedingLock, type Owner } from "./demo-clock.ts";
import { openDesk } from "./desk-round.ts";
import { openCentre, openingDay } from "./opening.ts";
import { demoSignIns, type DemoSignIns, type SiteKey } from "./people.ts";
import { planComingWeeks } from "./planning.ts";
import { isWeekend } from "./season.ts";
import { lastWorkdays, planSetPieces } from "./set-pieces.ts";
import { arriveAt, plan, type Shop } from "./shop.ts";
import { planTrouble } from "./trouble.ts";
import { eveningWash, finishWashes } from "./wash-round.ts";

export { demoSignIns };

export interface SeedOptions {
  /** Signs in as the owner of the tables, who alone can set the clock back. */
  readonly ownerUrl: string;
  /** Signs in as the application: every fact comes in by an act. */
  readonly appUrl: string;
  /** Told what is being played, a line at a time. */
  readonly onProgress?: (line: string) => void;
  /** When the story ends; the present if not given. */
  readonly now?: Date;
  /** How many months of story; eighteen if not given. */
  readonly months?: number;
  /** Another number tells another story of the same centre. */
  readonly seed?: number;
}

/**
 * Plays the demo centre's story into a migrated database without staff, and returns how its people
 * sign in. For the same `now` the tags, days, counts and states are the same; ids are the database's own.
 *
 * Errors: an OperatorError when the database has staff already or is being filled by another process.
 * Whatever happens, the database's clock is the real one again at the end.
 */
export async function seedDemo(options: SeedOptions): Promise<DemoSignIns> {
  const owners = ownerPool(options.ownerUrl, { connections: 1, name: "hangrail demo fleet" });
  try {
    const owner = await owners.connect();
    // A connection lost in between shows in the question asked next.
    owner.on("error", () => undefined);
    try {
      await takeSeedingLock(owner);
      await seedAs(owner, options);
    } finally {
      owner.release(true);
    }
  } finally {
    await owners.end();
  }
  return demoSignIns;
}

async function seedAs(owner: Owner, options: SeedOptions): Promise<void> {
  const { rows } = await owner.query<{ staffed: boolean }>("SELECT EXISTS (SELECT FROM staff) AS staffed");
  if (rows[0]?.staffed !== false) throw new OperatorError("This database has staff already; the demo fleet goes into an empty one only.");
  // A seeding killed before its first act leaves its clock behind.
  await restoreClock(owner);
  await replaceClock(owner);
  try {
    await play(options);
  } finally {
    await restoreClock(owner);
  }
}

async function play({ appUrl, onProgress = () => undefined, now = new Date(), months = 18, seed = 20_417 }: SeedOptions): Promise<void> {
  // One connection: the demo's clock is a setting of its session.
  const db = openDatabase({ appUrl, actConnections: 1, readConnections: 1 });
  try {
    const demoClock = demoClockOf(db);
    onProgress("Opening the centre, its people, models and sets");
    const end = now.getTime();
    const today = openingDay(end, 0);
    const shop = await openCentre({ db, demoClock, now: end, months, seed, lastWork: (opensOn) => new Map(lastWorkdays(today).filter(([, on]) => on < opensOn)) });
    const opensOn = openingDay(end, months);
    planSetPieces(shop, today, opensOn);
    planTrouble(shop, today, opensOn);
    planLastDays(shop, today, opensOn);
    planComingWeeks(shop, today);
    for (const site of ["harbour", "lake"] as const) planDay(shop, site, opensOn, onProgress);
    await shop.agenda.runUntil(end, (at) => arriveAt(shop, at));
    onProgress("Today");
    await playToday(shop);
  } finally {
    await db.close();
  }
}

/** An ordinary day at a site; its morning notes the next. */
function planDay(shop: Shop, site: SiteKey, on: Day, onProgress: (line: string) => void): void {
  plan(shop, site, on, "07:15", async () => {
    if (site === "harbour" && on.endsWith("-01")) onProgress(`Playing ${on.slice(0, 7)}`);
    await finishWashes(shop, site);
    planDay(shop, site, addDays(on, 1), onProgress);
  });
  plan(shop, site, on, "07:40", () => openDesk(shop, site, on));
  if (!isWeekend(on)) plan(shop, site, on, "13:05", () => benchDay(shop, site, on));
  plan(shop, site, on, "18:20", () => eveningWash(shop, site, on));
}
