/**
 * A kit room to test in, set up as people would set it up: by the acts alone. One site, one person a
 * role, a technician authorised for the maker, models with limits, pairings, a product, and sets that
 * are ready to go out.
 */
import { randomUUID } from "node:crypto";
import { acceptLimits, acceptProduct, addModel, approveProduct, endWet, finishWash, mixBath, registerSet, setPairing, startWash, type Answer, type Done, type HireInput, type LimitsInput, type PartInput, type ReturnLine, type Who } from "@hangrail/db/acts";
import { acceptBenchLimits, acceptKits, addGauge, keepKit, moveKit, recordBenchTest, recordWork, releaseSets, type JudgedReading, type KitUse, type NoticeInput } from "@hangrail/db/bench-acts";
import { openDatabase, type Database } from "@hangrail/db/database";
import { addPerson, authorise, firstRun, openSite, setPolicy, type PersonInput, type SiteInput, type StaffRole } from "@hangrail/db/people-acts";
import { addDays, day, dayOf, type Day } from "@hangrail/rules/calendar";
import type { Role } from "@hangrail/rules/models";
import type { TestDatabase } from "./embedded.ts";
import { takeClock, type KitroomClock } from "./kitroom-clock.ts";

export const MAKER = "Tarnfell";

export interface RoomSet {
  readonly id: string;
  readonly tag: string;
  /** By position. */
  readonly parts: Readonly<Record<"first-stage" | "primary" | "alternate" | "gauge", string>>;
}

export interface RoomModels {
  readonly first: string;
  readonly second: string;
  readonly gauge: string;
}

export interface KitRoomOptions {
  /** How many ready sets; none unless said. */
  readonly sets?: number;
  readonly site?: SiteInput;
  /** The hashes everybody signs in with, where a test signs in. */
  readonly secrets?: Pick<PersonInput, "passwordHash" | "pinHash">;
  /** Where the clock stands still from the beginning; else it runs, and is right when the room is ready. */
  readonly stoppedAt?: string;
  readonly actConnections?: number;
}

/** What all limits start from: ample, so that a test tightens the one it is about. */
export const AMPLE: LimitsInput = {
  serviceMonths: 24, serviceDives: 300, serviceMinutes: 18_000,
  hasInspection: true, inspectionMonths: 12, inspectionDives: 150, inspectionMinutes: 9_000,
  maxO2Tenths: 400, coldRating: "tested-4C", connection: null, maxSupplyBar: null, manualPage: "Workshop manual, page 12",
};
export const AMPLE_FIRST: LimitsInput = { ...AMPLE, connection: "din-300", maxSupplyBar: 300 };

const WET_MINUTES = 10;
const DRYING_MINUTES = 30;

/** A room by itself: answers of acts that were refused are thrown as errors, for a test's set-up must not fail in silence. */
export class KitRoom {
  #made = 0;
  readonly database: TestDatabase;
  readonly db: Database;
  readonly clock: KitroomClock;
  readonly site: string;
  readonly zone: string;
  readonly people: Readonly<Record<StaffRole, string>>;
  readonly models: RoomModels;
  readonly product: string;
  /** One seal kit is used up by every stage serviced; the shelf is full of them. */
  readonly kit: string;
  /** By what they measure; in calibration whatever the day. */
  readonly gauges: Readonly<Record<"pressure" | "effort", string>>;

  constructor(made: Pick<KitRoom, "database" | "db" | "clock" | "site" | "zone" | "people" | "models" | "product" | "kit" | "gauges">) {
    ({ database: this.database, db: this.db, clock: this.clock, site: this.site, zone: this.zone, people: this.people, models: this.models, product: this.product, kit: this.kit, gauges: this.gauges } = made);
  }

  /** The person of that role, with a request id of its own. */
  by(role: StaffRole, request: string = randomUUID()): Who {
    return { staff: this.people[role], site: this.site, device: null, request };
  }

  /** The day at the site. */
  async today(): Promise<Day> {
    return dayOf((await this.clock.read()).getTime(), this.zone);
  }

  /** A new set of four new components, put together and nothing more. */
  async registerSet(over: Partial<Pick<PartInput, "boughtOn" | "inUseOn">> = {}): Promise<RoomSet> {
    this.#made += 1;
    const tag = `R-${String(this.#made).padStart(3, "0")}`;
    const { first, second, gauge } = this.models;
    const inUseOn = addDays(await this.today(), -400);
    const part = (model: string, position: Role): PartInput => ({ model, position, serial: serialFor(position, this.#made), boughtOn: inUseOn, inUseOn, ...over });
    const parts = [part(first, "first-stage"), part(second, "primary"), part(second, "alternate"), part(gauge, "gauge")];
    const { set: id } = done(await registerSet(this.db, this.by("technician"), tag, parts));
    const fitted = await this.db.reads.query<{ position: Role; component_id: string }>("SELECT position, component_id FROM fitting WHERE set_id = $1", [id]);
    return { id, tag, parts: Object.fromEntries(fitted.rows.map((row) => [row.position, row.component_id])) as RoomSet["parts"] };
  }

  /** Services every component of these sets. */
  async service(sets: readonly RoomSet[]): Promise<void> {
    for (const { id, parts } of sets) {
      done(await recordWork(this.db, this.by("technician"), id, { kind: "service", components: Object.values(parts), oxygenClean: false, words: "Kit fitted, tested", kits: this.kitsFor(Object.values(parts)) }));
    }
  }

  /** What a service of these components takes off the shelf. */
  kitsFor(components: readonly string[]): KitUse[] {
    return components.map((component) => ({ component, kit: this.kit, lot: "L-7", quantity: 1 }));
  }

  /** A bench test as left that every part of these sets passes. */
  async test(sets: readonly Pick<RoomSet, "id">[]): Promise<void> {
    for (const { id } of sets) {
      const { rows } = await this.db.reads.query<{ position: Role; component: string }>("SELECT position, component_id AS component FROM fitting WHERE set_id = $1 AND until_at IS NULL", [id]);
      const readings = rows.flatMap(({ position, component }) => goodReadings(position, component, this.gauges));
      done(await recordBenchTest(this.db, this.by("technician"), id, { phase: "as-left", verdict: "pass", words: "As it should be", order: null, readings, curves: [] }));
    }
  }

  /** Released, after a test where one is asked for. */
  async release(sets: readonly Pick<RoomSet, "id">[]): Promise<void> {
    const { rows } = await this.db.reads.query<{ id: string }>("SELECT id FROM regulator_set WHERE id = ANY ($1) AND tested_seq < retest_seq", [sets.map(({ id }) => id)]);
    await this.test(rows);
    done(await releaseSets(this.db, this.by("technician"), sets.map(({ id }) => id), "Tested at both pressures"));
  }

  /** Bath, rinse, purge, dry: the clock moves on by the time that takes. */
  async wash(sets: readonly Pick<RoomSet, "id">[]): Promise<void> {
    const ids = sets.map(({ id }) => id);
    const washer = () => this.by("wash-room");
    const { bath } = done(await mixBath(this.db, washer(), { product: this.product, label: "Blue tub", lot: null, productMl: 100, waterMl: 9_900 }));
    const { run } = done(await startWash(this.db, washer(), bath, ids));
    await this.clock.advance(WET_MINUTES);
    done(await endWet(this.db, washer(), run));
    await this.clock.advance(DRYING_MINUTES);
    done(await finishWash(this.db, washer(), run, ids));
  }

  /** Serviced, released and clean. The clock moves on by a wash. */
  async makeReady(sets: readonly RoomSet[]): Promise<void> {
    await this.service(sets);
    await this.release(sets);
    await this.wash(sets);
  }

  /** So many new sets, ready to go out. The clock moves on by a wash. */
  async readySets(count: number): Promise<RoomSet[]> {
    const sets: RoomSet[] = [];
    while (sets.length < count) sets.push(await this.registerSet());
    if (count > 0) await this.makeReady(sets);
    return sets;
  }

  /** The range of a notice that is about this set's first stage alone. */
  firstStageRange(set: Pick<RoomSet, "tag">): NoticeInput["ranges"][number] {
    const number = String(Number(set.tag.slice(2)));
    return { model: this.models.first, prefix: "FI", digits: 6, low: number, high: number };
  }

  /** The sets as a decision made now would name them. */
  async seen(sets: readonly Pick<RoomSet, "id">[]): Promise<{ id: string; seq: number }[]> {
    const { rows } = await this.db.reads.query<{ id: string; seq: number }>("SELECT id, seq FROM regulator_set WHERE id = ANY ($1)", [sets.map(({ id }) => id)]);
    const seqs = new Map(rows.map((row) => [row.id, row.seq]));
    return sets.map(({ id }) => ({ id, seq: seqs.get(id)! }));
  }

  /** One set as a decision made now would name it. */
  async asSeen(set: Pick<RoomSet, "id">): Promise<{ id: string; seq: number }> {
    return (await this.seen([set]))[0]!;
  }

  /** Another site of the chain, with the same manager. */
  async openSite(name: string, timeZone = this.zone): Promise<string> {
    return done(await openSite(this.db, this.by("manager"), { name, timeZone, units: "metric" })).site;
  }
}

/** Sets the room up in a database that nobody has used. */
export async function makeKitRoom(database: TestDatabase, options: KitRoomOptions = {}): Promise<KitRoom & { readonly sets: readonly RoomSet[] }> {
  const clock = await takeClock(database.ownerPool);
  if (options.stoppedAt === undefined) await clock.shift(-(WET_MINUTES + DRYING_MINUTES) - 1);
  else await clock.stopAt(options.stoppedAt);
  const db = openDatabase({ appUrl: database.url, actConnections: options.actConnections ?? 16, readConnections: 4 });
  const site = options.site ?? { name: "Harbour Dive Centre", timeZone: "Europe/Malta", units: "metric" as const };
  const secrets = options.secrets ?? { passwordHash: "no password", pinHash: null };
  const chief = done(await firstRun(db, site, { name: "Mira Holt", login: "mira", ...secrets }));
  const byChief = (): Who => ({ staff: chief.staff, site: chief.site, device: null, request: randomUUID() });
  const person = async (name: string, role: StaffRole): Promise<string> =>
    done(await addPerson(db, byChief(), { name, login: name.split(" ")[0]!.toLowerCase(), ...secrets }, [role])).staff;
  const people = { manager: chief.staff, desk: await person("Dina Marsh", "desk"), "wash-room": await person("Wim Brook", "wash-room"), technician: await person("Tove Stone", "technician") };
  done(await setPolicy(db, byChief(), { dryingMinutes: DRYING_MINUTES }));
  done(await authorise(db, byChief(), people.technician, MAKER, true, day("2000-01-01"), day("2099-12-31"), "Course certificate 118"));
  const byTechnician = (): Who => ({ ...byChief(), staff: people.technician });
  const models = await makeModels(db, byTechnician);
  const { product } = done(await acceptProduct(db, byTechnician(), {
    name: "Klarin", strengthHundredths: 500, minPpm: 400, maxPpm: 600, wetMinutes: WET_MINUTES, bathHours: 24, labelPage: "Label, back",
  }));
  done(await approveProduct(db, byTechnician(), product, Object.values(models), "Care sheet, page 2"));
  const kit = await stockKits(db, byTechnician, models);
  const gauges = { pressure: await makeGauge(db, byTechnician, "pressure"), effort: await makeGauge(db, byTechnician, "effort") };
  const room = new KitRoom({ database, db, clock, site: chief.site, zone: site.timeZone, people, models, product, kit, gauges });
  const sets = await room.readySets(options.sets ?? 0);
  if (options.stoppedAt === undefined) await clock.shift(0);
  return Object.assign(room, { sets });
}

async function makeModels(db: Database, by: () => Who): Promise<RoomModels> {
  const first = done(await addModel(db, by(), "first-stage", MAKER, "Beck 10")).model;
  const second = done(await addModel(db, by(), "second-stage", MAKER, "Beck S")).model;
  const gauge = done(await addModel(db, by(), "gauge", MAKER, "Beck G")).model;
  done(await acceptLimits(db, by(), first, AMPLE_FIRST));
  done(await acceptLimits(db, by(), second, AMPLE));
  done(await acceptLimits(db, by(), gauge, AMPLE));
  done(await setPairing(db, by(), first, second, true, "Workshop manual, page 3"));
  return { first, second, gauge };
}

async function stockKits(db: Database, by: () => Who, { first, second }: RoomModels): Promise<string> {
  const { kit } = done(await keepKit(db, by(), { maker: MAKER, name: "Seal kit", priceCents: 1_250, leadDays: 14 }));
  done(await moveKit(db, by(), kit, { kind: "received", quantity: 100_000, lot: "L-7", words: "First delivery" }));
  for (const model of [first, second]) done(await acceptKits(db, by(), model, [{ kit, quantity: 1 }], "Workshop manual, page 20"));
  const page = "Workshop manual, page 14";
  done(await acceptBenchLimits(db, by(), first, [{ name: "intermediate-pressure", low: 900, high: 1_000, page }, { name: "creep", low: null, high: 30, page }, { name: "supply-change", low: null, high: 50, page }]));
  done(await acceptBenchLimits(db, by(), second, [{ name: "cracking-effort-primary", low: 200, high: 320, page }, { name: "cracking-effort-alternate", low: 300, high: 500, page }]));
  return kit;
}

async function makeGauge(db: Database, by: () => Who, measures: "pressure" | "effort"): Promise<string> {
  const span = measures === "pressure" ? { spanLow: 0, spanHigh: 1_600, classTenths: 10 } : { spanLow: 0, spanHigh: 1_000, classTenths: 10 };
  return done(await addGauge(db, by(), { name: `Test gauge, ${measures}`, serial: `TG-${measures}`, measures, ...span, calibratedOn: day("2000-01-01"), validUntil: day("2099-12-31"), certificate: "Certificate 4" })).gauge;
}

/** FI000001 and so on: letters and six digits, as a notice writes its ranges. */
export const serialFor = (position: Role, made: number) => `${position.slice(0, 2).toUpperCase()}${String(made).padStart(6, "0")}`;

/** Readings in the middle of the room's limits. */
function goodReadings(position: Role, component: string, gauges: KitRoom["gauges"]): JudgedReading[] {
  const reading = (over: Pick<JudgedReading, "name" | "value" | "low" | "high" | "gauge"> & Partial<JudgedReading>): JudgedReading => ({
    component, supplyCbar: null, atCbar: null, adjuster: null, venturi: null, verdict: "pass", why: null, ...over,
  });
  const pressure = { low: 900, high: 1_000, gauge: gauges.pressure };
  if (position === "first-stage") {
    return [
      reading({ name: "intermediate-pressure", value: 950, supplyCbar: 20_000, ...pressure }),
      reading({ name: "intermediate-pressure", value: 940, supplyCbar: 5_000, ...pressure }),
      reading({ name: "creep", value: 10, supplyCbar: 20_000, low: null, high: 30, gauge: gauges.pressure }),
    ];
  }
  const tight = [reading({ name: "vacuum-held", value: 1, low: null, high: null, gauge: null }), reading({ name: "immersion-leak", value: 0, low: null, high: null, gauge: null })];
  if (position === "primary") return [reading({ name: "cracking-effort", value: 260, low: 200, high: 320, gauge: gauges.effort }), ...tight];
  if (position === "alternate") return [reading({ name: "cracking-effort", value: 400, low: 300, high: 500, gauge: gauges.effort }), ...tight];
  if (position !== "gauge") return [];
  const against = (atCbar: number) => reading({ name: "gauge-error", value: 100, atCbar, low: -500, high: 500, gauge: gauges.pressure });
  return [reading({ name: "gauge-zero", value: 0, low: null, high: null, gauge: null }), against(5_000), against(10_000), against(20_000)];
}

/** The answer of an act that was done; an error with the whole answer when it was not. */
export function done<A extends object>(answer: Answer<A> | { readonly answer: "stale" | "hold" }): Done<A> {
  if (answer.answer === "done") return answer;
  throw new Error(`The act was not done: ${JSON.stringify(answer)}`);
}

/** A hire that suits every ready set of the room. */
export function aHire(backOn: Day, over: Partial<HireInput> = {}): HireInput {
  return {
    hirer: "Guest of cabin 7", contact: null, backOn, dives: 2, minutes: 120, teaching: false,
    cylinderConnection: "din-232", cylinderBar: 232, o2Tenths: 210, waterTenthsC: 180, depthM: 18, ...over,
  };
}

/** A set brought back dry: it counts no dive. */
export function backDry(set: string, over: Partial<ReturnLine> = {}): ReturnLine {
  return { set, dives: 0, minutes: 0, estimated: false, waterKind: "none", problem: false, words: null, fault: null, missing: [], ...over };
}
