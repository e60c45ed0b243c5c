/** What the demo's sets are made of, and the sheet with which the centre brought them in. */
import { addDays, addMonths, daysBetween, earlier, later, type Day } from "@hangrail/rules/calendar";
import type { Connection, ModelKind, Role } from "@hangrail/rules/models";
import { MAKERS, MODELS, type Maker, type ModelKey } from "./catalogue.ts";
import type { Chance } from "./chance.ts";
import type { SiteKey } from "./people.ts";

export interface Kit {
  readonly maker: Maker;
  readonly connection: Connection;
  readonly cylinderBars: readonly number[];
  readonly standsCold: boolean;
  readonly first: ModelKey;
  readonly second: ModelKey;
  /** How many faults it gives by chance, compared with the others; none where trouble.ts plants them one by one. */
  readonly trouble: number;
}

export const KITS = {
  tarnYoke: { maker: MAKERS.tarnwick, connection: "yoke", cylinderBars: [200, 232], standsCold: false, first: "tarnYoke", second: "tarnWarm", trouble: 1 },
  tarnDin: { maker: MAKERS.tarnwick, connection: "din-300", cylinderBars: [232, 300], standsCold: true, first: "tarnDin", second: "tarnCold", trouble: 0.9 },
  quillDin: { maker: MAKERS.quillon, connection: "din-232", cylinderBars: [200, 232], standsCold: true, first: "quillDin", second: "quillSecond", trouble: 0.7 },
  quillM26: { maker: MAKERS.quillon, connection: "m26", cylinderBars: [200, 232], standsCold: true, first: "quillM26", second: "quillSecond", trouble: 0 },
  hespYoke: { maker: MAKERS.hespera, connection: "yoke", cylinderBars: [200, 232], standsCold: false, first: "hespYoke", second: "hespSecond", trouble: 3 },
} as const satisfies Readonly<Record<string, Kit>>;
export type KitKey = keyof typeof KITS;

export interface PlannedSet {
  readonly tag: string;
  readonly site: SiteKey;
  readonly kit: Kit;
  /** Set aside for courses, and so serviced twice a year. */
  readonly forCourses: boolean;
  readonly sixth: "hose" | "echo" | null;
}

/** Registered new in the last weeks of the story, not on the sheet. */
export const NEW_SET: PlannedSet = { tag: "H-48", site: "harbour", kit: KITS.tarnDin, forCourses: false, sixth: null };

/** The sets on the sheet: 47 at the harbour, 16 at the lake. */
export function plannedSets(): PlannedSet[] {
  const runs: readonly [site: SiteKey, kit: KitKey, forCourses: boolean, count: number][] = [
    ["harbour", "tarnYoke", true, 6],
    ["harbour", "hespYoke", true, 4],
    ["harbour", "tarnYoke", false, 8],
    ["harbour", "tarnDin", false, 8],
    ["harbour", "quillDin", false, 10],
    ["harbour", "quillM26", false, 6],
    ["harbour", "hespYoke", false, 5],
    ["lake", "tarnDin", true, 2],
    ["lake", "tarnDin", false, 5],
    ["lake", "quillDin", false, 9],
  ];
  const counted: Record<SiteKey, number> = { harbour: 0, lake: 0 };
  return runs.flatMap(([site, kit, forCourses, count]) =>
    Array.from({ length: count }, () => {
      const number = ++counted[site];
      const tag = `${site === "harbour" ? "H" : "L"}-${String(number).padStart(2, "0")}`;
      const sixth = number % 4 === 0 ? "echo" : number % 2 === 1 ? "hose" : null;
      return { tag, site, kit: KITS[kit], forCourses, sixth } as const;
    }),
  );
}

/** One row of the sheet, as the import takes it. */
export interface SheetRow {
  readonly row: number;
  readonly tag: string | null;
  readonly position: Role | null;
  readonly kind: ModelKind;
  readonly maker: string;
  readonly model: string;
  readonly serial: string;
  readonly boughtOn: Day;
  readonly inUseOn: Day;
  readonly lastUsedOn: Day | null;
  readonly servicedOn: Day | null;
  readonly inspectedOn: Day | null;
  readonly divesTotal: number;
  readonly minutesTotal: number;
  readonly divesSinceService: number;
  readonly minutesSinceService: number;
  readonly divesSinceInspection: number;
  readonly minutesSinceInspection: number;
  readonly taught: boolean;
}

const MINUTES_PER_DIVE = 47;

/** Serial numbers, a batch for each model and position, as parts bought together are. */
export function serialBook(): (model: ModelKey, position: Role | "spare") => string {
  const next = new Map<string, number>();
  return (model, position) => {
    const batch = `${model} ${position}`;
    const at = next.get(batch) ?? 201_041 + next.size * 10_000;
    next.set(batch, at + 3);
    return `${MODELS[model].prefix}${at}`;
  };
}

/**
 * The sheet of a site on the day it comes in. `lastWork` names sets whose last work is known to the
 * day; for the others it lies somewhere within the maker's interval.
 */
export function sheetRows(sets: readonly PlannedSet[], on: Day, chance: Chance, serialOf: ReturnType<typeof serialBook>, lastWork: ReadonlyMap<string, Day>): SheetRow[] {
  const rows: Omit<SheetRow, "row">[] = [];
  for (const set of sets) {
    const known = lastWork.get(set.tag);
    const workedOn = known ?? addDays(on, -chance.whole(12, set.forCourses ? 120 : 290));
    const inUseOn = addMonths(earlier(workedOn, addMonths(on, -12)), -chance.whole(3, 40));
    const boughtOn = addDays(inUseOn, -chance.whole(10, 60));
    const lastUsedOn = later(workedOn, addDays(on, -chance.whole(3, 40)));
    const dives = Math.round(daysBetween(workedOn, lastUsedOn) * (0.12 + 0.1 * chance.next()));
    const total = dives + Math.round(daysBetween(inUseOn, workedOn) * 0.2);
    for (const [position, key] of partsOf(set)) {
      const { service, inspection } = workOn(key, workedOn, inUseOn, chance, known !== undefined);
      const sinceService = service === null ? total : Math.min(total, Math.round((dives * Math.max(1, daysBetween(service, on))) / Math.max(1, daysBetween(workedOn, on))));
      rows.push({
        ...identity(key), tag: set.tag, position, serial: serialOf(key, position), boughtOn, inUseOn, lastUsedOn, servicedOn: service, inspectedOn: inspection,
        ...counts(total, sinceService, Math.min(dives, sinceService)), taught: set.forCourses,
      });
    }
  }
  return numbered(rows);
}

/** Parts in the drawer: new, looked over, waiting for a set. */
export function spareRows(on: Day, serialOf: ReturnType<typeof serialBook>): SheetRow[] {
  const boughtOn = addMonths(on, -3);
  const keys: ModelKey[] = ["dial", "dial", "dial", "dial", "hose", "hose", "hose", "feed", "feed", "feed", "feed", "echo", "echo"];
  return numbered(
    keys.map((key) => ({
      ...identity(key), tag: null, position: null, serial: serialOf(key, "spare"), boughtOn, inUseOn: on, lastUsedOn: null, servicedOn: null, inspectedOn: on,
      ...counts(0, 0, 0), taught: false,
    })),
  );
}

/** The positions of a set and the models that sit there. */
export function partsOf(set: PlannedSet): [Role, ModelKey][] {
  const parts: [Role, ModelKey][] = [["first-stage", set.kit.first], ["primary", set.kit.second], ["alternate", set.kit.second], ["gauge", "dial"], ["inflator-hose", "feed"]];
  if (set.sixth !== null) parts.push(set.sixth === "hose" ? ["hose", "hose"] : ["transmitter", "echo"]);
  return parts;
}

/** The last work a component shows on the sheet. */
function workOn(key: ModelKey, workedOn: Day, inUseOn: Day, chance: Chance, known: boolean): { service: Day | null; inspection: Day | null } {
  const { limits } = MODELS[key];
  if (!limits.hasInspection) return { service: workedOn, inspection: null };
  if (limits.serviceMinutes === null) return { service: null, inspection: workedOn };
  // Looked over on the last day; serviced then too, or the year before.
  const service = known || chance.happens(0.5) ? workedOn : later(inUseOn, addMonths(workedOn, -12));
  return { service, inspection: workedOn };
}

const identity = (key: ModelKey) => ({ kind: MODELS[key].kind, maker: MODELS[key].maker, model: MODELS[key].name });

const counts = (total: number, sinceService: number, sinceInspection: number) => ({
  divesTotal: total,
  minutesTotal: total * MINUTES_PER_DIVE,
  divesSinceService: sinceService,
  minutesSinceService: sinceService * MINUTES_PER_DIVE,
  divesSinceInspection: sinceInspection,
  minutesSinceInspection: sinceInspection * MINUTES_PER_DIVE,
});

const numbered = (rows: readonly Omit<SheetRow, "row">[]): SheetRow[] => rows.map((one, at) => ({ row: at + 2, ...one }));
