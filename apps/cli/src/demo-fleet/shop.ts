/** The demo centre while its story is played: the acts, the clock, who does what, and what is known of each set. */
import { randomUUID } from "node:crypto";
import type { Answer, Done, Who } from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import { addDays, dayOf, type Day, type Instant } from "@hangrail/rules/calendar";
import type { Agenda } from "./agenda.ts";
import type { KitBook } from "./bench-gear.ts";
import { MAKERS, type Maker } from "./catalogue.ts";
import type { Chance } from "./chance.ts";
import type { DemoClock } from "./demo-clock.ts";
import type { Kit } from "./fleet.ts";
import { instantAt } from "./local-time.ts";
import type { SiteKey } from "./people.ts";

export interface DemoSite {
  readonly key: SiteKey;
  readonly id: string;
  readonly timeZone: string;
  readonly minutesPerDive: number;
  readonly product: string;
  /** The last day that is played as an ordinary one: the day before today. */
  readonly lastDay: Day;
  /** Sets on the rail this morning, in the order of their tags. Hand-outs take from it. */
  onRail: RailSet[];
}

/** What the desk sees of a set on the rail. */
export interface RailSet {
  readonly tag: string;
  readonly dueOn: Day | null;
  readonly divesLeft: number | null;
  readonly minutesLeft: number | null;
}

export interface DemoSet {
  readonly tag: string;
  readonly id: string;
  readonly kit: Kit;
  readonly forCourses: boolean;
  site: SiteKey;
}

/** Days on which sets are left alone, by tag; the last day is not included, null = for good. */
export type Leaves = Map<string, { readonly from: Day; readonly until: Day | null }[]>;

export interface Shop {
  readonly db: Database;
  readonly demoClock: DemoClock;
  readonly chance: Chance;
  readonly agenda: Agenda;
  readonly sites: Readonly<Record<SiteKey, DemoSite>>;
  readonly staff: ReadonlyMap<string, string>;
  readonly sets: Map<string, DemoSet>;
  /** The kit each model's service takes. */
  readonly kits: KitBook;
  /** Where the demo's clock stands. It never goes back. */
  clock: Instant;
  readonly now: Instant;
  /** When the everyday round leaves a set alone: at the desk, or at the bench. */
  readonly deskLeaves: Leaves;
  readonly benchLeaves: Leaves;
  /** Often hired first from a day on, until so few dives are left. */
  readonly favourites: Map<string, { readonly from: Day; readonly downTo: number }>;
}

/** Moves the clock on to an instant, or by a second when it is there already. */
export async function arriveAt(shop: Shop, at: Instant): Promise<void> {
  shop.clock = Math.max(at, shop.clock + 1_000);
  if (shop.clock > shop.now) throw new Error("The demo's story ran past the present.");
  await shop.demoClock.setTo(shop.clock);
}

/** Time goes by between two acts of one person. */
export const pass = (shop: Shop, minutes: number): Promise<void> => arriveAt(shop, shop.clock + minutes * 60_000);

/** Who acts, as each act wants to be told. */
export function by(shop: Shop, login: string, site: SiteKey): Who {
  const staff = shop.staff.get(login);
  if (staff === undefined) throw new Error(`Nobody at the demo centre signs in as ${login}.`);
  return { staff, site: shop.sites[site].id, device: null, request: randomUUID() };
}

const DESK = { harbour: ["pelle", "yara", "pelle", "marga"], lake: ["yara", "oskar", "ines"] } as const;
export const atDesk = (shop: Shop, site: SiteKey): Who => by(shop, shop.chance.pick<string>(DESK[site]), site);
export const inWashRoom = (shop: Shop, site: SiteKey): Who => by(shop, site === "lake" || shop.chance.happens(0.4) ? "oskar" : "pelle", site);

/** The technician authorised for a maker's breathing parts. */
export function technicianFor(maker: Maker): "tobias" | "ines" {
  return maker === MAKERS.hespera ? "ines" : "tobias";
}
export const atBench = (shop: Shop, set: DemoSet): Who => by(shop, technicianFor(set.kit.maker), set.site);

/** The answer of an act that must not be refused here. */
export async function done<More extends object>(what: string, answer: Promise<Answer<More>>): Promise<Done<More>> {
  const given = await answer;
  if (given.answer !== "done") throw new Error(`The demo fleet could not ${what}: ${JSON.stringify(given)}`);
  return given;
}

/** Rows read in the session of the acts, where the demo's clock stands. */
export async function read<Row extends object>(shop: Pick<Shop, "db">, name: string, text: string, values: unknown[]): Promise<Row[]> {
  return (await shop.db.acts.query<Row>({ name: `demo ${name}`, text, values })).rows;
}

/** A set with its sequence number now, for an act that names what it was decided on. */
export async function asSeen(shop: Pick<Shop, "db">, set: string): Promise<{ id: string; seq: number }> {
  const [seen] = await read<{ id: string; seq: number }>(shop, "as seen", "SELECT id, seq FROM regulator_set WHERE id = $1", [set]);
  if (seen === undefined) throw new Error(`The demo centre has no set ${set}.`);
  return seen;
}

export function setOf(shop: Shop, tag: string): DemoSet {
  const set = shop.sets.get(tag);
  if (set === undefined) throw new Error(`The demo centre has no set ${tag}.`);
  return set;
}

export const setsAt = (shop: Shop, site: SiteKey): DemoSet[] => [...shop.sets.values()].filter((set) => set.site === site);

/** The day it is at a site by the demo's clock. */
export const todayAt = (shop: Shop, site: SiteKey): Day => dayOf(shop.clock, shop.sites[site].timeZone);

/** Notes something for a time of day at a site; what would happen after the last ordinary day is left out. */
export function plan(shop: Shop, site: SiteKey, on: Day, time: string, happen: () => Promise<void>): void {
  const { timeZone, lastDay } = shop.sites[site];
  const at = instantAt(on, time, timeZone);
  if (on <= lastDay && at > shop.clock) shop.agenda.add(at, happen);
}

/** Leaves a set alone from a day on, for good or until a day. */
export function leave(leaves: Leaves, tag: string, from: Day, until: Day | null = null): void {
  leaves.set(tag, [...(leaves.get(tag) ?? []), { from, until }]);
}

export const isLeft = (leaves: Leaves, tag: string, on: Day): boolean =>
  (leaves.get(tag) ?? []).some(({ from, until }) => on >= from && (until === null || on < until));

/** The bench rests at weekends: Saturday and Sunday become Monday. */
export function workingDay(on: Day): Day {
  const weekday = new Date(`${on}T12:00:00Z`).getUTCDay();
  return addDays(on, weekday === 6 ? 2 : weekday === 0 ? 1 : 0);
}

/** "09:05" and the like: a time of day somewhere between two hours. */
export function timeBetween(chance: Chance, from: number, until: number): string {
  const minutes = chance.whole(from * 60, until * 60 - 1);
  return `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
}

