/** How busy the demo centre is, and how warm its waters are, through the year. */
import { weekdayOf, type Day } from "@hangrail/rules/calendar";
import type { Chance } from "./chance.ts";
import type { SiteKey } from "./people.ts";

interface Year {
  /** Parties on an average day of each month, January first. */
  readonly parties: readonly number[];
  /** Water in whole degrees Celsius. */
  readonly water: readonly number[];
}

const YEARS: Readonly<Record<SiteKey, Year>> = {
  harbour: {
    parties: [0.4, 0.5, 0.9, 1.7, 2.2, 2.8, 3.7, 4.2, 3.1, 1.9, 0.9, 0.5],
    water: [15, 14, 14, 15, 18, 21, 24, 25, 24, 21, 18, 16],
  },
  lake: {
    parties: [0.3, 0.3, 0.5, 0.7, 0.9, 1.1, 1.2, 1.3, 1.0, 0.7, 0.5, 0.3],
    water: [6, 5, 6, 8, 11, 15, 18, 19, 16, 12, 9, 7],
  },
};

const monthOf = (on: Day): number => Number(on.slice(5, 7)) - 1;
export const isWeekend = (on: Day): boolean => weekdayOf(on) >= 6;

/** How many parties come to the desk on a day. */
export function partiesOn(site: SiteKey, on: Day, chance: Chance): number {
  const usual = (YEARS[site].parties[monthOf(on)] as number) * (isWeekend(on) ? 1.7 : 0.72);
  const wanted = usual * (0.6 + 0.8 * chance.next());
  return Math.floor(wanted) + (chance.happens(wanted - Math.floor(wanted)) ? 1 : 0);
}

/** Whether a course begins on this day: some Saturdays, seldom in winter. */
export function courseBegins(site: SiteKey, on: Day, chance: Chance): boolean {
  if (weekdayOf(on) !== 6) return false;
  return chance.happens(Math.min(0.75, 0.1 + (YEARS[site].parties[monthOf(on)] as number) * (site === "harbour" ? 0.18 : 0.25)));
}

/** Water of the day, tenths of a degree Celsius. */
export function waterTenths(site: SiteKey, on: Day, chance: Chance): number {
  return (YEARS[site].water[monthOf(on)] as number) * 10 + chance.whole(-4, 8);
}
