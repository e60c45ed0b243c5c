/**
 * Invented makers, models and products, with limits as a technician of the demo centre might have
 * read them in invented manuals. No figure here is any real maker's.
 */
import type { LimitsInput, ProductInput } from "@hangrail/db/acts";
import type { Connection, ModelKind } from "@hangrail/rules/models";

export const MAKERS = { tarnwick: "Tarnwick", quillon: "Quillon", hespera: "Hespera", dorvane: "Dorvane" } as const;
export type Maker = (typeof MAKERS)[keyof typeof MAKERS];

export interface DemoModel {
  readonly kind: ModelKind;
  readonly maker: Maker;
  readonly name: string;
  /** Begins every serial number of this model. */
  readonly prefix: string;
  readonly limits: LimitsInput;
}

const NO_LIMB = { serviceMonths: null, serviceDives: null, serviceMinutes: null, hasInspection: false, inspectionMonths: null, inspectionDives: null, inspectionMinutes: null };
const OTHER_PART = { maxO2Tenths: 400, coldRating: "unknown", connection: null, maxSupplyBar: null } as const;
const YEAR_OR_100_DIVES = { ...NO_LIMB, serviceMonths: 12, serviceDives: 100 };
const YEAR_OR_120_DIVES = { ...NO_LIMB, serviceMonths: 12, serviceDives: 120 };
/** Two years or 300 hours, looked over every year. */
const TWO_YEARS = { ...NO_LIMB, serviceMonths: 24, serviceMinutes: 18_000, hasInspection: true, inspectionMonths: 12 };

const din = (connection: Connection, maxSupplyBar: number) => ({ maxO2Tenths: 400, coldRating: "tested-4C", connection, maxSupplyBar }) as const;
const COLD_STAGE = { maxO2Tenths: 400, coldRating: "tested-4C", connection: null, maxSupplyBar: null } as const;
const WARM_STAGE = { maxO2Tenths: 400, coldRating: "warm-only", connection: null, maxSupplyBar: null } as const;

export const MODELS = {
  tarnYoke: model("first-stage", MAKERS.tarnwick, "Mole 10", "TM", { ...YEAR_OR_100_DIVES, ...WARM_STAGE, connection: "yoke", maxSupplyBar: 232, manualPage: "Mole manual, edition 4, page 12" }),
  tarnDin: model("first-stage", MAKERS.tarnwick, "Mole 30", "TD", { ...YEAR_OR_100_DIVES, ...din("din-300", 300), manualPage: "Mole manual, edition 4, page 14" }),
  quillDin: model("first-stage", MAKERS.quillon, "Ridge", "QR", { ...TWO_YEARS, ...din("din-232", 232), manualPage: "Ridge service book, page 7" }),
  quillM26: model("first-stage", MAKERS.quillon, "Ridge N", "QN", { ...TWO_YEARS, ...din("m26", 232), manualPage: "Ridge N supplement, page 3" }),
  hespYoke: model("first-stage", MAKERS.hespera, "Calm", "HC", { ...YEAR_OR_120_DIVES, ...WARM_STAGE, connection: "yoke", maxSupplyBar: 232, manualPage: "Calm handbook, page 21" }),
  tarnWarm: model("second-stage", MAKERS.tarnwick, "Fin", "TF", { ...YEAR_OR_100_DIVES, ...WARM_STAGE, manualPage: "Fin manual, edition 2, page 9" }),
  tarnCold: model("second-stage", MAKERS.tarnwick, "Fin Cold", "TC", { ...YEAR_OR_100_DIVES, ...COLD_STAGE, manualPage: "Fin manual, edition 2, page 10" }),
  quillSecond: model("second-stage", MAKERS.quillon, "Crest", "QC", { ...TWO_YEARS, ...COLD_STAGE, manualPage: "Crest service book, page 5" }),
  hespSecond: model("second-stage", MAKERS.hespera, "Lull", "HL", { ...YEAR_OR_120_DIVES, ...WARM_STAGE, manualPage: "Calm handbook, page 24" }),
  dial: model("gauge", MAKERS.dorvane, "Dial 360", "DG", { ...NO_LIMB, hasInspection: true, inspectionMonths: 12, ...OTHER_PART, manualPage: "Dorvane instruments leaflet, page 2" }),
  feed: model("inflator", MAKERS.dorvane, "Feed", "DF", { ...NO_LIMB, serviceMonths: 60, hasInspection: true, inspectionMonths: 12, ...OTHER_PART, manualPage: "Dorvane hoses leaflet, page 4" }),
  hose: model("hose", MAKERS.dorvane, "Braid 76", "DH", { ...NO_LIMB, serviceMonths: 60, hasInspection: true, inspectionMonths: 12, ...OTHER_PART, manualPage: "Dorvane hoses leaflet, page 3" }),
  echo: model("transmitter", MAKERS.dorvane, "Echo", "DE", { ...NO_LIMB, serviceMonths: 24, hasInspection: true, inspectionMonths: 12, ...OTHER_PART, manualPage: "Echo booklet, page 6" }),
} as const satisfies Readonly<Record<string, DemoModel>>;
export type ModelKey = keyof typeof MODELS;

/** Bought of late; nobody has accepted its limits yet. */
export const UNJUDGED = { kind: "gauge", maker: MAKERS.dorvane, name: "Dial Slim" } as const;

/** Second stages approved on a first stage, each with its page. */
export const PAIRINGS: readonly (readonly [first: ModelKey, second: ModelKey, page: string])[] = [
  ["tarnYoke", "tarnWarm", "Mole manual, edition 4, page 30"],
  ["tarnDin", "tarnWarm", "Mole manual, edition 4, page 30"],
  ["tarnDin", "tarnCold", "Mole manual, edition 4, page 31"],
  ["quillDin", "quillSecond", "Ridge service book, page 18"],
  ["quillM26", "quillSecond", "Ridge N supplement, page 4"],
  ["hespYoke", "hespSecond", "Calm handbook, page 26"],
];

export interface DemoProduct extends ProductInput {
  readonly targetPpm: number;
  /** Makers whose manuals do not allow it. */
  readonly notFor: readonly Maker[];
  readonly page: string;
}

export const PRODUCTS = {
  harbour: { name: "Clearwell Q", strengthHundredths: 1000, minPpm: 350, maxPpm: 600, wetMinutes: 10, bathHours: 24, labelPage: "Clearwell Q label, side B", targetPpm: 400, notFor: [], page: "Makers' list of cleaning agents, page 1" },
  lake: { name: "Rinsol P", strengthHundredths: 250, minPpm: 400, maxPpm: 800, wetMinutes: 15, bathHours: 12, labelPage: "Rinsol P label, table 2", targetPpm: 500, notFor: [MAKERS.hespera], page: "Makers' list of cleaning agents, page 2" },
} as const satisfies Readonly<Record<string, DemoProduct>>;

/** The litres a bath holds. */
export const BATH_LITRES = { harbour: 60, lake: 40 } as const;

function model(kind: ModelKind, maker: Maker, name: string, prefix: string, limits: LimitsInput): DemoModel {
  return { kind, maker, name, prefix, limits };
}
