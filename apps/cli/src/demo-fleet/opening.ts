/** How the demo centre begins: its sites, people, models and products, and the fleet from its old sheet. */
import { randomUUID } from "node:crypto";
import { hashSecret } from "@hangrail/api/secrets";
import { acceptLimits, acceptProduct, act, approveProduct, setPairing, type Done, type Who } from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { addPerson, authorise, firstRun, openSite, setPolicy, setRoles, type PersonInput } from "@hangrail/db/people-acts";
import { addDays, addMonths, dayOf, type Day, type Instant } from "@hangrail/rules/calendar";
import { newAgenda } from "./agenda.ts";
import { equipBench } from "./bench-gear.ts";
import { releaseAll } from "./bench-round.ts";
import { MODELS, PAIRINGS, PRODUCTS, type ModelKey } from "./catalogue.ts";
import { chanceFrom } from "./chance.ts";
import type { DemoClock } from "./demo-clock.ts";
import { plannedSets, serialBook, sheetRows, spareRows, type PlannedSet, type SheetRow } from "./fleet.ts";
import { instantAt } from "./local-time.ts";
import { AUTHORISATIONS, MANAGER, OTHERS, type DemoPerson, type SiteKey } from "./people.ts";
import { arriveAt, by, done, pass, read, setsAt, type DemoSite, type Shop } from "./shop.ts";
import { finishWashes, intoBath, mix, outOfBath, pourAway } from "./wash-round.ts";

const SITES = {
  harbour: { name: "Saltmarsh Harbour", timeZone: "Europe/Madrid", policy: { nitroxNeedsM26: true, nitroxAboveTenths: 220, shelfMonths: 9 } },
  lake: { name: "Heron Lake", timeZone: "Europe/London", policy: { nitroxNeedsM26: false, nitroxAboveTenths: 220 } },
} as const;
const SITE_KEYS: readonly SiteKey[] = ["harbour", "lake"];
const MINUTES_PER_DIVE = 60;

export interface Opening {
  readonly db: Database;
  readonly demoClock: DemoClock;
  readonly now: Instant;
  readonly months: number;
  readonly seed: number;
  /** Sets whose last work before the story is known to the day. */
  readonly lastWork: (opensOn: Day) => ReadonlyMap<string, Day>;
}

/** The day on which the doors open, so many months before today. */
export const openingDay = (now: Instant, months: number): Day => addMonths(dayOf(now, SITES.harbour.timeZone), -months);

/** Opens the centre; its sets are clean and released on the morning of the opening day. */
export async function openCentre(opening: Opening): Promise<Shop> {
  const { db, demoClock, now } = opening;
  const opensOn = openingDay(now, opening.months);
  const begin = instantAt(addDays(opensOn, -2), "08:30", SITES.harbour.timeZone);
  const people = await hashed([MANAGER, ...OTHERS]);
  await demoClock.setTo(begin);
  const { site, staff } = await done("set up the first site", firstRun(db, siteInput("harbour"), people.get(MANAGER.login) as PersonInput));
  const staffIds = new Map([[MANAGER.login, staff]]);
  const marga: Who = { staff, site, device: null, request: randomUUID() };
  const lake = await done("open the second site", openSite(db, marga, siteInput("lake")));
  const shop: Shop = {
    db, demoClock, now, chance: chanceFrom(opening.seed), agenda: newAgenda(),
    sites: { harbour: aSite("harbour", site, now), lake: aSite("lake", lake.site, now) },
    staff: staffIds, sets: new Map(), kits: new Map(), clock: begin, deskLeaves: new Map(), benchLeaves: new Map(), favourites: new Map(),
  };
  await staffTheCentre(shop, people, staffIds, opensOn);
  await pass(shop, 25);
  const planned = plannedSets();
  await bringIn(shop, planned, addDays(opensOn, -2), opening.lastWork(opensOn));
  await acceptManuals(shop);
  const kits = await equipBench(shop, await modelIds(shop), opensOn);
  const products = await acceptProducts(shop);
  const open: Shop = { ...shop, kits, sites: { harbour: { ...shop.sites.harbour, product: products.harbour }, lake: { ...shop.sites.lake, product: products.lake } } };
  await readyForTheDoors(open, opensOn);
  return open;
}

const siteInput = (key: SiteKey) => ({ name: SITES[key].name, timeZone: SITES[key].timeZone, units: "metric" }) as const;

function aSite(key: SiteKey, id: string, now: Instant): DemoSite {
  const { timeZone } = SITES[key];
  return { key, id, timeZone, minutesPerDive: MINUTES_PER_DIVE, product: "", lastDay: addDays(dayOf(now, timeZone), -1), onRail: [] };
}

async function hashed(people: readonly DemoPerson[]): Promise<Map<string, PersonInput>> {
  const inputs = people.map(async ({ name, login, password, pin }): Promise<[string, PersonInput]> => {
    const [passwordHash, pinHash] = await Promise.all([hashSecret(password), hashSecret(pin)]);
    return [login, { name, login, passwordHash, pinHash }];
  });
  return new Map(await Promise.all(inputs));
}

async function staffTheCentre(shop: Shop, people: ReadonlyMap<string, PersonInput>, staffIds: Map<string, string>, opensOn: Day): Promise<void> {
  const marga = (site: SiteKey): Who => by(shop, MANAGER.login, site);
  for (const key of SITE_KEYS) await done("set the policy", setPolicy(shop.db, marga(key), { ...SITES[key].policy, minutesPerDive: MINUTES_PER_DIVE }));
  for (const person of OTHERS) {
    const added = await done("add a person", addPerson(shop.db, marga("harbour"), people.get(person.login) as PersonInput, person.roles.harbour ?? []));
    staffIds.set(person.login, added.staff);
  }
  for (const person of [MANAGER, ...OTHERS]) {
    for (const key of SITE_KEYS) {
      const roles = person.roles[key];
      if (roles !== undefined) await done("give roles", setRoles(shop.db, marga(key), staffIds.get(person.login) as string, roles));
    }
  }
  for (const [at, one] of AUTHORISATIONS.entries()) {
    const from = addMonths(opensOn, -(3 + at));
    const until = one.runsOutInDays === undefined ? addMonths(shop.sites.harbour.lastDay, 14 + at) : addDays(shop.sites.harbour.lastDay, one.runsOutInDays);
    await done("authorise a technician", authorise(shop.db, marga("harbour"), staffIds.get(one.login) as string, one.maker, one.oxygenClean, from, until, one.evidence));
  }
}

async function bringIn(shop: Shop, planned: readonly PlannedSet[], on: Day, lastWork: ReadonlyMap<string, Day>): Promise<void> {
  const serialOf = serialBook();
  for (const key of SITE_KEYS) {
    const ours = planned.filter((set) => set.site === key);
    await importSheet(shop, key, sheetRows(ours, on, shop.chance, serialOf, lastWork));
    await pass(shop, 5);
  }
  await importSheet(shop, "harbour", spareRows(on, serialOf));
  const ids = new Map((await read<{ tag: string; id: string }>(shop, "tags", "SELECT tag, id FROM regulator_set ORDER BY tag", [])).map(({ tag, id }) => [tag, id]));
  for (const { tag, site, kit, forCourses } of planned) shop.sets.set(tag, { tag, id: ids.get(tag) as string, kit, forCourses, site });
}

async function importSheet(shop: Shop, site: SiteKey, rows: readonly SheetRow[]): Promise<void> {
  await act<Done>(shop.db, "import_fleet", [by(shop, MANAGER.login, site), [...rows]]);
}

/** Which model of the catalogue has which id. */
export async function modelIds(shop: Shop): Promise<ReadonlyMap<ModelKey, string>> {
  const rows = await read<{ id: string; maker: string; name: string }>(shop, "models", "SELECT id, maker, name FROM model", []);
  const ids = new Map<ModelKey, string>();
  for (const key of Object.keys(MODELS) as ModelKey[]) {
    const found = rows.find((row) => row.maker === MODELS[key].maker && row.name === MODELS[key].name);
    if (found !== undefined) ids.set(key, found.id);
  }
  return ids;
}

async function acceptManuals(shop: Shop): Promise<void> {
  const ids = await modelIds(shop);
  for (const [key, id] of ids) {
    await pass(shop, 3);
    await done(`accept the limits of ${MODELS[key].name}`, acceptLimits(shop.db, by(shop, "tobias", "harbour"), id, MODELS[key].limits));
  }
  for (const [first, second, page] of PAIRINGS) {
    await done("approve a pairing", setPairing(shop.db, by(shop, "tobias", "harbour"), ids.get(first) as string, ids.get(second) as string, true, page));
  }
}

async function acceptProducts(shop: Shop): Promise<Record<SiteKey, string>> {
  const ids = await modelIds(shop);
  const accepted: Partial<Record<SiteKey, string>> = {};
  for (const key of SITE_KEYS) {
    const { targetPpm: _target, notFor, page, ...product } = { ...PRODUCTS[key], notFor: PRODUCTS[key].notFor as readonly string[] };
    const { product: id } = await done("accept a product", acceptProduct(shop.db, by(shop, "ines", "harbour"), product));
    const models = [...ids].filter(([model]) => !notFor.includes(MODELS[model].maker)).map(([, model]) => model);
    await done("approve a product", approveProduct(shop.db, by(shop, "ines", "harbour"), id, models, page));
    accepted[key] = id;
  }
  return accepted as Record<SiteKey, string>;
}

/** The first great wash, and every set released. */
async function readyForTheDoors(shop: Shop, opensOn: Day): Promise<void> {
  for (const key of SITE_KEYS) {
    const sets = setsAt(shop, key);
    await pass(shop, 30);
    const bath = await mix(shop, key, "First bath");
    for (let at = 0; at < sets.length; at += 12) {
      const run = await intoBath(shop, key, bath, sets.slice(at, at + 12));
      await pass(shop, PRODUCTS[key].wetMinutes + 2);
      await outOfBath(shop, key, run);
    }
    await pourAway(shop, key, bath);
    await releaseAll(shop, key, sets, "Looked over after the move to the new record, fit for hire");
  }
  await arriveAt(shop, instantAt(addDays(opensOn, -1), "08:00", shop.sites.harbour.timeZone));
  for (const key of SITE_KEYS) await finishWashes(shop, key);
}
