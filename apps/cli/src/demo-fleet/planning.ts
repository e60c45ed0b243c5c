/** What the demo's manager has told the plan: hours at the bench with a holiday, and bookings for the coming weeks. */
import { bookingsLikeLastYear } from "@hangrail/api/plan-bookings";
import { mondayOf } from "@hangrail/api/plan-facts";
import { makeBookings, setBenchHours, type BookingInput } from "@hangrail/db/plan-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { MANAGER, type SiteKey } from "./people.ts";
import { by, done, pass, plan, type Shop } from "./shop.ts";

const HOUR = 60;

/** Hours in every week, by site and technician: the harbour's bench is the larger one. */
const HOURS: Readonly<Record<SiteKey, readonly (readonly [login: "tobias" | "ines", minutes: number])[]>> = {
  harbour: [["tobias", 9 * HOUR], ["ines", 5 * HOUR]],
  lake: [["tobias", 3 * HOUR], ["ines", 4 * HOUR]],
};

/** Counted in weeks from the one after today's. */
const HOLIDAY_WEEKS = [3, 4] as const;
const WEEKS_LIKE_LAST_YEAR = 16;

interface Group {
  readonly week: number;
  /** Days after that Monday. */
  readonly from: number;
  readonly until: number;
  readonly wishes: Omit<BookingInput, "fromOn" | "untilOn" | "source">;
}

const PLAIN = { connection: null, cold: false, o2Tenths: 210, teaching: false } as const;
const GROUPS: readonly Group[] = [
  { week: 1, from: 4, until: 6, wishes: { ...PLAIN, connection: "yoke", teaching: true, sets: 6, words: "Weekend course" } },
  { week: 2, from: 2, until: 6, wishes: { ...PLAIN, connection: "din-232", sets: 9, words: "Club from up the coast" } },
  // One more than there are: to borrow one, or to say no.
  { week: 5, from: 0, until: 4, wishes: { ...PLAIN, connection: "m26", o2Tenths: 320, sets: 7, words: "Nitrox week" } },
  { week: 9, from: 5, until: 6, wishes: { ...PLAIN, connection: "yoke", teaching: true, sets: 8, words: "Two courses on one weekend" } },
];

/** Notes the afternoon on which the coming weeks were entered, some days before today. */
export function planComingWeeks(shop: Shop, today: Day): void {
  for (const site of ["harbour", "lake"] as const) plan(shop, site, addDays(today, -8), site === "harbour" ? "10:20" : "10:50", () => enterWeeks(shop, site, today));
}

async function enterWeeks(shop: Shop, site: SiteKey, today: Day): Promise<void> {
  const marga = () => by(shop, MANAGER.login, site);
  const first = addDays(mondayOf(today), 7);
  const monday = (week: number): Day => addDays(first, week * 7);
  const hours = (login: string, weekOn: Day | null, minutes: number, words: string) =>
    done("set bench hours", setBenchHours(shop.db, marga(), { staff: shop.staff.get(login) as string, weekOn, minutes, words }));
  for (const [login, minutes] of HOURS[site]) await hours(login, null, minutes, "");
  for (const week of HOLIDAY_WEEKS) await hours("tobias", monday(week), 0, "On holiday");
  await pass(shop, 4);
  const { bookings } = await bookingsLikeLastYear(shop.db, shop.sites[site].id, { fromOn: first, weeks: WEEKS_LIKE_LAST_YEAR, percent: 100 });
  if (bookings.length > 0) await done("book as last year", makeBookings(shop.db, marga(), bookings));
  await pass(shop, 3);
  if (site === "lake") return;
  const groups = GROUPS.map(({ week, from, until, wishes }): BookingInput => ({ fromOn: addDays(monday(week), from), untilOn: addDays(monday(week), until), ...wishes, source: "typed" }));
  await done("book groups", makeBookings(shop.db, marga(), groups));
}
