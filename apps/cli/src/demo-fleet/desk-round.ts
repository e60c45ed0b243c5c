/** The desk of the demo centre: parties come, dive, and bring their sets back. */
import { handOut, takeBack, type HireInput, type ReturnLine } from "@hangrail/db/acts";
import { addDays, earlier, type Day } from "@hangrail/rules/calendar";
import { storyFault, type StoryFault } from "./bench-round.ts";
import { hirerName } from "./hirers.ts";
import type { SiteKey } from "./people.ts";
import { courseBegins, partiesOn, waterTenths } from "./season.ts";
import { atDesk, isLeft, plan, read, setOf, timeBetween, type DemoSet, type RailSet, type Shop } from "./shop.ts";

export interface Party {
  readonly size: number;
  readonly dives: number;
  readonly nights: number;
  readonly teaching: boolean;
}

const SIZES = [{ size: 1, weight: 44 }, { size: 2, weight: 32 }, { size: 3, weight: 9 }, { size: 4, weight: 8 }, { size: 5, weight: 4 }, { size: 6, weight: 3 }];
const NIGHTS = [{ nights: 0, weight: 70 }, { nights: 1, weight: 12 }, { nights: 2, weight: 9 }, { nights: 4, weight: 5 }, { nights: 7, weight: 4 }];
/** No ordinary hire reaches into the last days with a fault nobody has time to clear. */
const QUIET_DAYS = 6;

/** Looks at the rail and notes the day's parties. */
export async function openDesk(shop: Shop, site: SiteKey, on: Day): Promise<void> {
  await lookAtRail(shop, site);
  if (courseBegins(site, on, shop.chance)) {
    const size = shop.chance.whole(2, site === "harbour" ? 6 : 2);
    plan(shop, site, on, timeBetween(shop.chance, 8, 9), () => handOutTo(shop, site, on, { size, dives: 3, nights: 1, teaching: true }));
  }
  for (let left = partiesOn(site, on, shop.chance); left > 0; left--) {
    const { nights } = shop.chance.weighted(NIGHTS);
    const party = { size: shop.chance.weighted(SIZES).size, nights, dives: Math.max(1, shop.chance.whole(1, 2) + nights * 2 - (nights > 3 ? 2 : 0)), teaching: false };
    plan(shop, site, on, timeBetween(shop.chance, 8, 12), () => handOutTo(shop, site, on, party));
  }
}

/** Reads which sets are ready, with what is left of them. */
export async function lookAtRail(shop: Shop, site: SiteKey): Promise<void> {
  shop.sites[site].onRail = await read<RailSet>(
    shop,
    "rail",
    `SELECT tag, due_on::text AS "dueOn", dives_left AS "divesLeft", minutes_left AS "minutesLeft" FROM set_board WHERE site_id = $1 AND state = 'ready' ORDER BY tag`,
    [shop.sites[site].id],
  );
}

async function handOutTo(shop: Shop, site: SiteKey, on: Day, party: Party): Promise<void> {
  const desk = shop.sites[site];
  const backOn = earlier(addDays(on, party.nights), desk.lastDay);
  const water = waterTenths(site, on, shop.chance);
  const minutes = party.dives * desk.minutesPerDive;
  const able = desk.onRail.filter((one) => {
    const set = setOf(shop, one.tag);
    if (isLeft(shop.deskLeaves, one.tag, on) || isUsedUp(shop, one, on) || (water <= 100 && !set.kit.standsCold) || set.forCourses !== party.teaching) return false;
    return (one.dueOn === null || one.dueOn >= backOn) && (one.divesLeft ?? Infinity) >= party.dives && (one.minutesLeft ?? Infinity) >= minutes;
  });
  const favourite = shop.chance.happens(0.4) ? able.filter((one) => isFavourite(shop, one, on)) : [];
  if (able.length === 0) return;
  const lead = setOf(shop, shop.chance.pick(favourite.length > 0 ? favourite : able).tag);
  const others = shuffled(shop, able.filter((one) => one.tag !== lead.tag && setOf(shop, one.tag).kit.connection === lead.kit.connection));
  const sets = [lead, ...others.slice(0, party.size - 1).map((one) => setOf(shop, one.tag))];
  const hire = await give(shop, site, sets, termsFor(shop, lead, party, backOn, water, minutes));
  if (hire) planReturn(shop, site, sets, backOn, party);
}

const isFavourite = (shop: Shop, one: RailSet, on: Day): boolean => (shop.favourites.get(one.tag)?.from ?? "9999") <= on;

/** A favourite with few dives left waits for its last trip. */
function isUsedUp(shop: Shop, one: RailSet, on: Day): boolean {
  const wish = shop.favourites.get(one.tag);
  return wish !== undefined && wish.from <= on && (one.divesLeft ?? 0) <= wish.downTo;
}

function termsFor(shop: Shop, lead: DemoSet, party: Party, backOn: Day, waterTenthsC: number, minutes: number): HireInput {
  const nitrox = lead.site === "harbour" ? lead.kit.connection === "m26" && shop.chance.happens(0.7) : shop.chance.happens(0.15);
  return {
    hirer: hirerName(shop.chance),
    contact: shop.chance.happens(0.6) ? `room ${shop.chance.whole(1, 48)}` : null,
    backOn,
    dives: party.dives,
    minutes,
    teaching: party.teaching,
    cylinderConnection: lead.kit.connection === "din-300" && shop.chance.happens(0.5) ? "din-232" : lead.kit.connection,
    cylinderBar: lead.kit.connection === "din-300" ? 232 : shop.chance.pick(lead.kit.cylinderBars),
    o2Tenths: nitrox ? 320 : 210,
    waterTenthsC,
    depthM: party.teaching ? shop.chance.whole(5, 18) : shop.chance.whole(9, nitrox ? 30 : 32),
  };
}

/** Hands sets out and takes them off the rail. Says no when the gate holds; the rail is then looked at again tomorrow. */
export async function give(shop: Shop, site: SiteKey, sets: readonly DemoSet[], hire: HireInput): Promise<boolean> {
  const seen = await read<{ id: string; seq: number }>(shop, "seen", "SELECT id, seq FROM regulator_set WHERE id = ANY ($1) ORDER BY tag", [sets.map((set) => set.id)]);
  const answer = await handOut(shop.db, atDesk(shop, site), hire, seen);
  if (answer.answer === "refused" || answer.answer === "stale") throw new Error(`The demo's hand-out was refused: ${JSON.stringify(answer)}`);
  const tags = new Set(sets.map((set) => set.tag));
  shop.sites[site].onRail = shop.sites[site].onRail.filter((one) => !tags.has(one.tag));
  return answer.answer === "done";
}

function planReturn(shop: Shop, site: SiteKey, sets: readonly DemoSet[], backOn: Day, party: Party): void {
  const { lastDay } = shop.sites[site];
  const late = shop.chance.happens(0.04) ? shop.chance.whole(1, 3) : 0;
  const on = earlier(addDays(backOn, late), lastDay);
  plan(shop, site, on, timeBetween(shop.chance, 15, 18), async () => {
    const faults: StoryFault[] = [];
    const lines: ReturnLine[] = [];
    for (const set of sets) {
      const fault = await faultOfTheDay(shop, set, on);
      if (fault !== null) faults.push(fault);
      lines.push(lineFor(shop, set, party, fault));
    }
    await bringBack(shop, site, lines);
    for (const fault of faults) fault.follow();
  });
}

async function faultOfTheDay(shop: Shop, set: DemoSet, on: Day): Promise<StoryFault | null> {
  if (on > addDays(shop.sites[set.site].lastDay, -QUIET_DAYS)) return null;
  return shop.chance.happens(0.013 * set.kit.trouble) ? storyFault(shop, set, on) : null;
}

function lineFor(shop: Shop, set: DemoSet, party: Party, fault: StoryFault | null): ReturnLine {
  const { chance } = shop;
  const cancelled = fault === null && chance.happens(0.015);
  const stated = cancelled || chance.happens(0.82);
  const dives = cancelled ? 0 : stated ? Math.max(1, party.dives + chance.weighted([{ more: 0, weight: 70 }, { more: -1, weight: 20 }, { more: 1, weight: 10 }]).more) : party.dives;
  const minutes = cancelled ? 0 : stated ? dives * chance.whole(36, 54) : dives * shop.sites[set.site].minutesPerDive;
  const waterKind = cancelled ? "none" : set.site === "lake" ? "fresh" : party.teaching && chance.happens(0.3) ? "pool" : "sea";
  return {
    set: set.id,
    dives,
    minutes,
    estimated: !stated,
    waterKind,
    problem: fault !== null,
    words: fault?.words ?? null,
    fault: fault === null ? null : { code: fault.input.code, severity: fault.input.severity, component: fault.input.component },
    missing: [],
  };
}

/** A return without anything to tell. */
export const soundReturn = (set: DemoSet, dives: number, waterKind: "sea" | "fresh"): ReturnLine => ({
  set: set.id, dives, minutes: dives * 44, estimated: false, waterKind, problem: false, words: null, fault: null, missing: [],
});

export async function bringBack(shop: Shop, site: SiteKey, lines: readonly ReturnLine[]): Promise<void> {
  const answer = await takeBack(shop.db, atDesk(shop, site), lines);
  if (answer.answer !== "done") throw new Error(`The demo's return was refused: ${JSON.stringify(answer)}`);
}

function shuffled<T>(shop: Shop, list: readonly T[]): T[] {
  const mixed = [...list];
  for (let at = mixed.length - 1; at > 0; at--) {
    const other = shop.chance.whole(0, at);
    [mixed[at], mixed[other]] = [mixed[other] as T, mixed[at] as T];
  }
  return mixed;
}
