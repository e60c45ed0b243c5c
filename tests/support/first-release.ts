/** A centre that has worked with the first release: the database as that release left it, with something of everything it knew. */
import { cpSync, mkdtempSync, readdirSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { randomUUID } from "node:crypto";
import { acceptLimits, acceptProduct, act, addModel, approveProduct, endWet, finishWash, handOut, mixBath, registerSet, retireSet, setPairing, startWash, type PartInput, type Who } from "@hangrail/db/acts";
import { clearFault, recordWork, releaseSets, reportFault } from "@hangrail/db/bench-acts";
import { openDatabase, type Database } from "@hangrail/db/database";
import { migrate } from "@hangrail/db/migrate";
import { authorise, firstRun, setPolicy } from "@hangrail/db/people-acts";
import { day } from "@hangrail/rules/calendar";
import type { TestDatabase } from "./embedded.ts";
import { aHire, AMPLE, AMPLE_FIRST, done, MAKER } from "./kit-room.ts";
import { takeClock, type KitroomClock } from "./kitroom-clock.ts";

const LAST_OF_THE_FIRST_RELEASE = "20261125100600_rights";
export const TODAY = day("2026-06-01");

export interface OldSet {
  readonly id: string;
  readonly parts: Readonly<Record<string, string>>;
}

const NAMES = ["ready", "neverWorkedOn", "opened", "serviced", "refitted", "out", "sealed", "retired", "noticed"] as const;

export interface FirstRelease {
  readonly db: Database;
  readonly who: { readonly staff: string; readonly site: string };
  readonly models: { readonly first: string; readonly second: string; readonly gauge: string };
  /** As the first release left them. */
  readonly sets: Readonly<Record<(typeof NAMES)[number], OldSet>>;
  readonly notice: string;
}

/** Migrates an empty database as far as the first release did, and works in it. The caller closes `db`. */
export async function worksWithTheFirstRelease(database: TestDatabase): Promise<FirstRelease> {
  const folder = mkdtempSync(join(tmpdir(), "hangrail-first-release-"));
  const all = fileURLToPath(new URL("../../prisma/migrations", import.meta.url));
  const first = readdirSync(all).filter((name) => /^\d/.test(name) && name <= LAST_OF_THE_FIRST_RELEASE);
  if (first.length !== 7) throw new Error(`The first release had seven migrations, not ${first.length}.`);
  for (const name of first) cpSync(join(all, name), join(folder, name), { recursive: true });
  await migrate(database.ownerUrl, { folder });
  const clock = await takeClock(database.ownerPool);
  await clock.stopAt(`${TODAY}T08:00:00Z`);
  const db = openDatabase({ appUrl: database.url, actConnections: 4, readConnections: 2 });
  return { db, ...(await itsWork(database, db, clock)) };
}

async function itsWork({ ownerPool }: TestDatabase, db: Database, clock: KitroomClock): Promise<Omit<FirstRelease, "db">> {
  const who = done(await firstRun(db, { name: "Harbour Dive Centre", timeZone: "Europe/Malta", units: "metric" }, { name: "Mira Holt", login: "mira", passwordHash: "x", pinHash: null }));
  const by = (): Who => ({ ...who, device: null, request: randomUUID() });
  done(await act(db, "set_roles", [by(), who.staff, ["manager", "desk", "wash-room", "technician"]]));
  done(await setPolicy(db, by(), { dryingMinutes: 30 }));
  done(await authorise(db, by(), who.staff, MAKER, true, day("2000-01-01"), day("2099-12-31"), "Certificate"));
  const models = {
    first: done(await addModel(db, by(), "first-stage", MAKER, "Beck 10")).model,
    second: done(await addModel(db, by(), "second-stage", MAKER, "Beck S")).model,
    gauge: done(await addModel(db, by(), "gauge", MAKER, "Beck G")).model,
  };
  for (const [of, model] of Object.entries(models)) done(await acceptLimits(db, by(), model, of === "first" ? AMPLE_FIRST : AMPLE));
  done(await setPairing(db, by(), models.first, models.second, true, "Page 3"));
  const { product } = done(await acceptProduct(db, by(), { name: "Klarin", strengthHundredths: 500, minPpm: 400, maxPpm: 600, wetMinutes: 10, bathHours: 24, labelPage: "Back" }));
  done(await approveProduct(db, by(), product, Object.values(models), "Page 2"));
  const register = async (name: string): Promise<OldSet> => {
    const part = (model: string, position: PartInput["position"]): PartInput => ({ model, position, serial: `${position} ${name}`, boughtOn: day("2026-05-01"), inUseOn: day("2026-05-01") });
    const { set: id } = done(await registerSet(db, by(), name.toUpperCase().slice(0, 12), [part(models.first, "first-stage"), part(models.second, "primary"), part(models.second, "alternate"), part(models.gauge, "gauge")]));
    const { rows } = await ownerPool.query<{ position: string; component_id: string }>("SELECT position, component_id FROM fitting WHERE set_id = $1", [id]);
    return { id, parts: Object.fromEntries(rows.map((row) => [row.position, row.component_id])) };
  };
  const service = async ({ id, parts }: OldSet) => done(await recordWork(db, by(), id, { kind: "service", components: Object.values(parts), oxygenClean: false, words: "Kit fitted" }));
  const sets = {} as Record<(typeof NAMES)[number], OldSet>;
  for (const name of NAMES) sets[name] = await register(name);
  const ids = NAMES.map((name) => sets[name].id);
  for (const name of NAMES) if (name !== "neverWorkedOn") await service(sets[name]);
  done(await releaseSets(db, by(), ids, "Tested at both pressures"));
  const { bath } = done(await mixBath(db, by(), { product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 }));
  const { run } = done(await startWash(db, by(), bath, ids));
  await clock.advance(10);
  done(await endWet(db, by(), run));
  await clock.advance(30);
  done(await finishWash(db, by(), run, ids));
  const { fault } = done(await reportFault(db, by(), sets.opened.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "Free flow" }));
  done(await clearFault(db, by(), fault, "mended", "Seat renewed", true));
  await service(sets.serviced);
  done(await act(db, "refit", [by(), sets.refitted.id, sets.refitted.parts["gauge"], null, "gauge", "Fogged"]));
  done(await act(db, "refit", [by(), sets.refitted.id, null, sets.refitted.parts["gauge"], "gauge", "Dried"]));
  done(await handOut(db, by(), aHire(TODAY), (await ownerPool.query<{ id: string; seq: number }>("SELECT id, seq FROM regulator_set WHERE id = $1", [sets.out.id])).rows));
  done(await reportFault(db, by(), sets.sealed.id, { code: "GN-03", severity: "out", component: null, where: "boat", words: "" }));
  done(await retireSet(db, by(), sets.retired.id, "Worn"));
  const matched = [{ component: sets.noticed.parts["first-stage"], state: "open" }];
  const { notice } = done(await act<{ answer: "done"; notice: string }>(db, "open_notice", [by(), { title: "Seats", reference: "N-1", hazard: "h", remedy: "r", publishedOn: TODAY }, JSON.stringify(matched)]));
  return { who, models, sets, notice };
}
