/**
 * What the demo's bench is equipped with: kits, test gauges, and what the invented manuals say for a
 * bench test. No figure here is any real maker's.
 */
import {
  acceptBenchLimits, acceptBuild, acceptKits, addGauge, keepKit, moveKit, orderKit, setModelMoney, setMoney, type BenchLimitInput, type BuildInput, type KitUse,
} from "@hangrail/db/bench-acts";
import { addDays, addMonths, type Day } from "@hangrail/rules/calendar";
import { MAKERS, MODELS, type Maker, type ModelKey } from "./catalogue.ts";
import { MANAGER, type SiteKey } from "./people.ts";
import { by, done, pass, type Shop } from "./shop.ts";

interface Range {
  readonly low: number;
  readonly high: number;
}

/** Hundredths of a bar, and of a millibar. */
export interface StageFigures {
  readonly pressure?: Range;
  readonly creep?: number;
  readonly change?: number;
  readonly primary?: Range;
  readonly alternate?: Range;
  readonly exhalation?: number;
}

const FIRST: StageFigures = { pressure: { low: 920, high: 1_000 }, creep: 30, change: 40 };
export const FIGURES: Readonly<Partial<Record<ModelKey, StageFigures>>> = {
  tarnYoke: { pressure: { low: 900, high: 1_020 }, creep: 30, change: 160 },
  tarnDin: FIRST,
  quillDin: { pressure: { low: 880, high: 960 }, creep: 25, change: 40 },
  quillM26: { pressure: { low: 880, high: 960 }, creep: 25, change: 40 },
  hespYoke: { pressure: { low: 900, high: 1_000 }, creep: 30, change: 50 },
  tarnWarm: { primary: { low: 200, high: 320 }, alternate: { low: 300, high: 480 }, exhalation: 125 },
  tarnCold: { primary: { low: 220, high: 340 }, alternate: { low: 320, high: 500 }, exhalation: 130 },
  quillSecond: { primary: { low: 180, high: 300 }, alternate: { low: 280, high: 460 }, exhalation: 120 },
  hespSecond: { primary: { low: 210, high: 330 }, alternate: { low: 310, high: 490 }, exhalation: 130 },
};

const NO_BUILD = { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: null, serviceMinutes: null, inspectionMinutes: null } as const;
const HP = "hp-7/16";
const LP = "lp-3/8";
const BUILDS: Readonly<Record<ModelKey, Omit<BuildInput, "page">>> = {
  tarnYoke: { ...NO_BUILD, balance: "unbalanced-piston", hpPorts: 1, lpPorts: 4, lpHalfInchPorts: 0, serviceMinutes: 50, inspectionMinutes: 15 },
  tarnDin: { ...NO_BUILD, balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, serviceMinutes: 60, inspectionMinutes: 15 },
  quillDin: { ...NO_BUILD, balance: "balanced", hpPorts: 2, lpPorts: 5, lpHalfInchPorts: 0, serviceMinutes: 55, inspectionMinutes: 15 },
  quillM26: { ...NO_BUILD, balance: "balanced", hpPorts: 2, lpPorts: 5, lpHalfInchPorts: 0, serviceMinutes: 65, inspectionMinutes: 15 },
  hespYoke: { ...NO_BUILD, balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, serviceMinutes: 55, inspectionMinutes: 15 },
  tarnWarm: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 25, inspectionMinutes: 10 },
  tarnCold: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 30, inspectionMinutes: 10 },
  quillSecond: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 25, inspectionMinutes: 10 },
  hespSecond: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 25, inspectionMinutes: 10 },
  dial: { ...NO_BUILD, plugsInto: HP, inspectionMinutes: 10 },
  feed: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 15, inspectionMinutes: 5 },
  hose: { ...NO_BUILD, plugsInto: LP, serviceMinutes: 10, inspectionMinutes: 5 },
  echo: { ...NO_BUILD, plugsInto: HP, serviceMinutes: 15, inspectionMinutes: 5 },
};

interface DemoKit {
  readonly maker: Maker;
  readonly name: string;
  readonly priceCents: number;
  readonly leadDays: number;
  readonly for: readonly ModelKey[];
}

const KITS: readonly DemoKit[] = [
  { maker: MAKERS.tarnwick, name: "Mole service kit", priceCents: 2_450, leadDays: 14, for: ["tarnYoke", "tarnDin"] },
  { maker: MAKERS.tarnwick, name: "Fin service kit", priceCents: 1_680, leadDays: 14, for: ["tarnWarm", "tarnCold"] },
  { maker: MAKERS.quillon, name: "Ridge service kit", priceCents: 3_100, leadDays: 28, for: ["quillDin", "quillM26"] },
  { maker: MAKERS.quillon, name: "Crest service kit", priceCents: 1_950, leadDays: 28, for: ["quillSecond"] },
  { maker: MAKERS.hespera, name: "Calm service kit", priceCents: 2_200, leadDays: 42, for: ["hespYoke"] },
  { maker: MAKERS.hespera, name: "Lull service kit", priceCents: 1_540, leadDays: 42, for: ["hespSecond"] },
];
const PRICES: Readonly<Record<ModelKey, readonly [price: number, resale: number, years: number]>> = {
  tarnYoke: [18_900, 3_000, 8], tarnDin: [26_500, 4_500, 8], quillDin: [31_000, 6_000, 10], quillM26: [34_500, 6_000, 10], hespYoke: [17_500, 2_000, 7],
  tarnWarm: [13_900, 2_000, 8], tarnCold: [16_500, 2_500, 8], quillSecond: [19_800, 3_500, 10], hespSecond: [11_900, 1_000, 7],
  dial: [6_900, 500, 8], feed: [3_200, 0, 5], hose: [2_800, 0, 5], echo: [21_500, 3_000, 6],
};
/** Enough for the whole story; the last months are counted down by `tidyShelf`. */
const FIRST_DELIVERY = 600;

/** Kit ids by the model they are for; one a service. */
export type KitBook = ReadonlyMap<ModelKey, string>;

/** Enters the manuals' bench pages, fills the shelves, and brings the test gauges in. */
export async function equipBench(shop: Shop, ids: ReadonlyMap<ModelKey, string>, opensOn: Day): Promise<KitBook> {
  const book = new Map<ModelKey, string>();
  const tobias = () => by(shop, "tobias", "harbour");
  const inUse = [...ids.keys()];
  for (const [key, id] of ids) {
    const page = `${MODELS[key].limits.manualPage}, bench sheet`;
    await pass(shop, 2);
    const limits = limitsOf(key, page);
    if (limits.length > 0) await done(`accept the bench limits of ${MODELS[key].name}`, acceptBenchLimits(shop.db, tobias(), id, limits));
    await done(`accept the build of ${MODELS[key].name}`, acceptBuild(shop.db, tobias(), id, { ...BUILDS[key], page }));
  }
  for (const { for: models, ...kit } of KITS) {
    const { kit: id } = await done("enter a kit", keepKit(shop.db, tobias(), kit));
    for (const site of ["harbour", "lake"] as const) {
      await done("receive kits", moveKit(shop.db, by(shop, "tobias", site), id, { kind: "received", quantity: FIRST_DELIVERY, lot: lotOf(kit.name, opensOn), words: "Brought over from the old workshop" }));
    }
    for (const key of models.filter((one) => inUse.includes(one))) {
      book.set(key, id);
      await done("accept a kit list", acceptKits(shop.db, tobias(), ids.get(key) as string, [{ kit: id, quantity: 1 }], `${MODELS[key].limits.manualPage}, parts list`));
    }
  }
  for (const site of ["harbour", "lake"] as const) await bringGauges(shop, site);
  await keepAccounts(shop, ids);
  return book;
}

function limitsOf(key: ModelKey, page: string): BenchLimitInput[] {
  const figures = FIGURES[key];
  const upTo = (name: BenchLimitInput["name"], high: number | undefined): BenchLimitInput[] => (high === undefined ? [] : [{ name, low: null, high, page }]);
  const between = (name: BenchLimitInput["name"], range: Range | undefined): BenchLimitInput[] => (range === undefined ? [] : [{ name, ...range, page }]);
  if (key === "dial") return [{ name: "gauge-error-low", low: -500, high: 500, page }, { name: "gauge-error", low: -1_000, high: 1_000, page }];
  if (figures === undefined) return [];
  return [
    ...between("intermediate-pressure", figures.pressure), ...upTo("creep", figures.creep), ...upTo("supply-change", figures.change),
    ...between("cracking-effort-primary", figures.primary), ...between("cracking-effort-alternate", figures.alternate), ...upTo("exhalation-effort", figures.exhalation),
  ];
}

/** The last is out of date, so that the bench has something to send away. */
async function bringGauges(shop: Shop, site: SiteKey): Promise<void> {
  const last = shop.sites[site].lastDay;
  const who = () => by(shop, "tobias", site);
  const fine = { measures: "pressure", spanLow: 0, spanHigh: 1_600, classTenths: 6 } as const;
  const effort = { measures: "effort", spanLow: 0, spanHigh: 1_500, classTenths: 10 } as const;
  const master = { measures: "pressure", spanLow: 0, spanHigh: 40_000, classTenths: 6 } as const;
  const begun = addMonths(last, -20);
  const dates = (until: Day) => ({ calibratedOn: begun, validUntil: until });
  const gauges = [
    { name: "Bench gauge 1", serial: `BG-${site === "harbour" ? 4117 : 4130}`, ...fine, ...dates(addMonths(last, 7)), certificate: "Calibration sheet 77-204" },
    { name: "Effort gauge", serial: `EG-${site === "harbour" ? 210 : 214}`, ...effort, ...dates(addDays(last, 24)), certificate: "Calibration sheet 77-209" },
    { name: "Master gauge", serial: `MG-${site === "harbour" ? 8 : 11}`, ...master, ...dates(addMonths(last, 5)), certificate: "Calibration sheet 77-205" },
    ...(site === "lake" ? [] : [{ name: "Old bench gauge", serial: "BG-0902", measures: "pressure" as const, spanLow: 0, spanHigh: 2_500, classTenths: 25, ...dates(addDays(last, -40)), certificate: "Calibration sheet 61-118" }]),
  ];
  for (const gauge of gauges) await done("bring in a test gauge", addGauge(shop.db, who(), gauge));
}

async function keepAccounts(shop: Shop, ids: ReadonlyMap<ModelKey, string>): Promise<void> {
  for (const site of ["harbour", "lake"] as const) {
    const marga = () => by(shop, MANAGER.login, site);
    await done("enter the money", setMoney(shop.db, marga(), { currency: "EUR", benchHourCents: 3_800, hireCents: 1_400, interestPermille: 40 }));
    for (const [key, id] of ids) {
      const [priceCents, resaleCents, lifeYears] = PRICES[key];
      await done("enter a model's price", setModelMoney(shop.db, marga(), id, { priceCents, resaleCents, lifeYears }));
    }
  }
}

const lotOf = (name: string, on: Day): string => `${name.slice(0, 1)}${on.slice(2, 4)}${on.slice(5, 7)}`;

/** Shelves as they are today: some kits short, one order on its way. */
export async function tidyShelf(shop: Shop, kits: KitBook, on: Day): Promise<void> {
  const left: Readonly<Partial<Record<ModelKey, number>>> = { tarnDin: 18, tarnCold: 34, quillDin: 9, quillSecond: 20, hespYoke: 3, hespSecond: 5 };
  for (const [key, quantity] of Object.entries(left) as [ModelKey, number][]) {
    for (const site of ["harbour", "lake"] as const) {
      const here = site === "lake" ? Math.ceil(quantity / 3) : quantity;
      await done("count the shelf", moveKit(shop.db, by(shop, "tobias", site), kits.get(key) as string, { kind: "counted", quantity: here, lot: null, words: "Counted; old stock beyond its date thrown away" }));
    }
  }
  await done("order kits", orderKit(shop.db, by(shop, "tobias", "harbour"), kits.get("hespSecond") as string, 20, addDays(on, 35)));
}

/** What a service of these components takes from the shelf. */
export function kitsUsed(parts: readonly { readonly component: string; readonly model: ModelKey | null }[], kits: KitBook, on: Day): KitUse[] {
  return parts.flatMap(({ component, model }) => {
    const kit = model === null ? undefined : kits.get(model);
    return kit === undefined ? [] : [{ component, kit, lot: lotOf(MODELS[model as ModelKey].name, on), quantity: 1 }];
  });
}
