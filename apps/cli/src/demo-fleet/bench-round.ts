/** The bench of the demo centre: faults are looked into, due work is done, and sets are released. */
import { refit } from "@hangrail/db/acts";
import { clearFault, recordWork, releaseSets, type KitUse } from "@hangrail/db/bench-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { faultOf, type FaultCode } from "@hangrail/rules/faults";
import type { Severity } from "@hangrail/rules/hand-out";
import type { Role } from "@hangrail/rules/models";
import { kitsUsed } from "./bench-gear.ts";
import { testAsLeft } from "./bench-readings.ts";
import { MODELS, type Maker, type ModelKey } from "./catalogue.ts";
import { FAULT_STORIES, NOT_FOUND, type FaultStory } from "./fault-stories.ts";
import type { SiteKey } from "./people.ts";
import { asSeen, atBench, by, done, isLeft, pass, plan, read, setOf, technicianFor, timeBetween, todayAt, workingDay, type DemoSet, type Shop } from "./shop.ts";

// ── Faults ──

export interface StoryFault {
  readonly input: { readonly code: FaultCode; readonly severity: Severity; readonly component: string | null };
  readonly words: string;
  /** Notes when the bench looks into it. Call once the fault is recorded. */
  readonly follow: () => void;
}

interface Fitted {
  readonly component: string;
  readonly position: Role;
}

/** Something that may go wrong with this set, found on a component that is fitted now. */
export async function storyFault(shop: Shop, set: DemoSet, on: Day): Promise<StoryFault | null> {
  const fitted = await read<Fitted>(
    shop,
    "fitted",
    `SELECT f.component_id AS component, f.position FROM fitting f JOIN component c ON c.id = f.component_id
      WHERE f.set_id = $1 AND f.until_at IS NULL ORDER BY f.position, c.serial`,
    [set.id],
  );
  const story = shop.chance.weighted(FAULT_STORIES);
  const position = shop.chance.pick(story.at);
  const component = fitted.find((one) => one.position === position)?.component;
  if (component === undefined) return null;
  const words = shop.chance.pick(story.words);
  const look = workingDay(addDays(on, shop.chance.whole(1, 4)));
  return {
    input: { code: story.code, severity: faultOf(story.code).severity, component },
    words,
    follow: () => plan(shop, set.site, look, timeBetween(shop.chance, 13, 15), () => lookInto(shop, set, story, component, look)),
  };
}

/** A technician looks into the open fault of a story; when the set is out, again tomorrow. */
async function lookInto(shop: Shop, set: DemoSet, story: FaultStory, component: string, on: Day): Promise<void> {
  const [open] = await read<{ id: string; position: Role; out: boolean }>(
    shop,
    "open fault",
    `SELECT f.id, g.position, EXISTS (SELECT FROM hire_line h WHERE h.set_id = f.set_id AND h.back_at IS NULL) AS out
       FROM fault f JOIN fitting g ON g.component_id = f.component_id AND g.set_id = f.set_id AND g.until_at IS NULL
      WHERE f.set_id = $1 AND f.code = $2 AND f.component_id = $3 AND f.cleared_at IS NULL`,
    [set.id, story.code, component],
  );
  if (open === undefined) return;
  if (open.out) {
    const tomorrow = workingDay(addDays(on, 1));
    return plan(shop, set.site, tomorrow, timeBetween(shop.chance, 13, 15), () => lookInto(shop, set, story, component, tomorrow));
  }
  const severity = faultOf(story.code).severity;
  const found = severity !== "watch" && shop.chance.happens(0.78);
  const swapped = found && severity === "out" && (await swapForSpare(shop, set, component, open.position, story.words[0] ?? story.code));
  const opened = found && severity === "out" && !swapped;
  const words = !found ? shop.chance.pick(NOT_FOUND) : swapped ? "Replaced by a part from the drawer; the old one is scrapped" : story.mended;
  await done("clear a fault", clearFault(shop.db, atBench(shop, set), open.id, found ? "mended" : "not-found", words, opened));
  if (!opened && !swapped) return;
  await pass(shop, shop.chance.whole(25, 50));
  await release(shop, set, swapped ? "Refitted, all joints tight, tested at 200 and 50 bar" : "Mended and tested at 200 and 50 bar");
}

/** Fits a part of the same model from the drawer, when it is one that is not worth mending and the drawer holds one. */
async function swapForSpare(shop: Shop, set: DemoSet, component: string, position: Role, why: string): Promise<boolean> {
  if (position !== "gauge" && position !== "hose" && position !== "inflator-hose") return false;
  const [spare] = await read<{ id: string }>(
    shop,
    "spare",
    `SELECT c.id FROM component c WHERE c.model_id = (SELECT model_id FROM component WHERE id = $1) AND c.site_id = $2
        AND NOT EXISTS (SELECT FROM fitting f WHERE f.component_id = c.id) ORDER BY c.serial LIMIT 1`,
    [component, shop.sites[set.site].id],
  );
  if (spare === undefined) return false;
  await done("swap a part", refit(shop.db, atBench(shop, set), await asSeen(shop, set.id), component, spare.id, position, why));
  await lookOver(shop, set, [spare.id]);
  return true;
}

// ── Due work ──

const SETS_A_DAY: Readonly<Record<SiteKey, number>> = { harbour: 3, lake: 2 };

/** Works off what falls due soonest. A set with half of its year left is left alone. */
export async function benchDay(shop: Shop, site: SiteKey, on: Day): Promise<void> {
  const urgent = await read<{ tag: string }>(
    shop,
    "urgent",
    `SELECT s.tag FROM component_standing k JOIN regulator_set s ON s.id = k.set_id
      WHERE k.site_id = $1 AND s.retired_seq IS NULL AND s.evidence_seq IS NULL AND s.released_seq > s.unreleased_seq
        AND (k.service_due_on <= $2::date + 9 OR k.inspection_due_on <= $2::date + 9 OR k.shelf_until <= $2::date + 9
          OR k.service_dives_left <= 6 OR k.service_minutes_left <= 420)
        AND NOT EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL)
        AND NOT EXISTS (SELECT FROM cleaning_run_set w WHERE w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL)
        AND NOT EXISTS (SELECT FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL)
      GROUP BY s.tag ORDER BY min(least(k.service_due_on, k.inspection_due_on)), s.tag`,
    [shop.sites[site].id, on],
  );
  const sets = urgent.map(({ tag }) => setOf(shop, tag)).filter((set) => !isLeft(shop.benchLeaves, set.tag, on));
  for (const set of sets.slice(0, SETS_A_DAY[site])) {
    if (await workOn(shop, set, "due")) await release(shop, set, "All tests passed after the work, tight under water");
    await pass(shop, shop.chance.whole(5, 15));
  }
}

interface Standing {
  readonly component: string;
  readonly position: Role;
  readonly maker: Maker;
  readonly serviced: boolean;
  readonly inspected: boolean;
  readonly serviceNear: boolean;
  readonly serviceThisYear: boolean;
  readonly inspectionNear: boolean;
  readonly idle: boolean;
}

/**
 * Services and inspects what is near its limit ("due"), or everything ("all"). Says whether the set
 * has to be released afterwards.
 */
export async function workOn(shop: Shop, set: DemoSet, what: "due" | "all"): Promise<boolean> {
  const parts = await read<Standing>(
    shop,
    "standing",
    `SELECT k.component_id AS component, k.position, m.maker,
            (coalesce(k.service_due_on, '9999-01-01') < '9999-01-01' OR k.service_dives_left IS NOT NULL OR k.service_minutes_left IS NOT NULL) AS serviced,
            k.inspection_due_on IS NOT NULL AS inspected,
            coalesce(CASE WHEN $2 THEN k.service_due_on_taught ELSE k.service_due_on END <= $3::date + 45, false)
              OR coalesce(k.service_dives_left <= 25, false) OR coalesce(k.service_minutes_left <= 1800, false) AS "serviceNear",
            coalesce(k.service_due_on <= $3::date + 450, false) AS "serviceThisYear",
            coalesce(k.inspection_due_on <= $3::date + 60, false) AS "inspectionNear",
            coalesce(k.shelf_until <= $3::date + 30, false) AS idle
       FROM component_standing k JOIN model m ON m.id = k.model_id WHERE k.set_id = $1 ORDER BY k.position, k.serial`,
    [set.id, set.forCourses, new Date(shop.clock).toISOString().slice(0, 10)],
  );
  // A hose lasts five years: it is not renewed with every service of the stages.
  const long = (one: Standing): boolean => one.position === "inflator-hose" || one.position === "hose";
  const service = parts.filter((one) => one.serviceNear || (what === "all" && one.serviced && (!long(one) || one.serviceThisYear)));
  const inspection = parts.filter((one) => !service.includes(one) && (one.inspectionNear || one.idle || (what === "all" && one.inspected)));
  await record(shop, set, "inspection", inspection);
  if (service.length > 0) await pass(shop, shop.chance.whole(10, 25));
  await record(shop, set, "service", service);
  if (service.length + inspection.length > 0) await pass(shop, shop.chance.whole(20, 40));
  return service.length > 0;
}

const WORDS = {
  service: "Full service with new kit; pressure and cracking effort within the manual, no creep over five minutes",
  inspection: "Looked over, breathed and dipped; as it should be",
};

/** Inspects parts that lay in the drawer. */
export const lookOver = (shop: Shop, set: DemoSet, components: readonly string[]) =>
  done("inspect a part from the drawer", recordWork(shop.db, atBench(shop, set), set.id, { kind: "inspection", components, oxygenClean: false, words: WORDS.inspection }));

async function record(shop: Shop, set: DemoSet, kind: "service" | "inspection", parts: readonly Standing[]): Promise<void> {
  if (parts.length === 0) return;
  const oxygenClean = kind === "service" && set.kit.connection === "m26";
  const components = parts.map((one) => one.component);
  await done(`record the ${kind} of ${set.tag}`, recordWork(shop.db, atBench(shop, set), set.id, { kind, components, oxygenClean, words: WORDS[kind], kits: kind === "service" ? await kitsFor(shop, components) : [] }));
}

/** What a service of these parts takes off the shelf. */
export async function kitsFor(shop: Shop, components: readonly string[]): Promise<KitUse[]> {
  const rows = await read<{ component: string; maker: string; name: string }>(
    shop,
    "models of parts",
    "SELECT c.id AS component, m.maker, m.name FROM component c JOIN model m ON m.id = c.model_id WHERE c.id = ANY ($1) ORDER BY c.serial",
    [components],
  );
  const keys = Object.keys(MODELS) as ModelKey[];
  const parts = rows.map(({ component, maker, name }) => ({ component, model: keys.find((key) => MODELS[key].maker === maker && MODELS[key].name === name) ?? null }));
  return kitsUsed(parts, shop.kits, todayAt(shop, "harbour"));
}

/** Tested where something was open, and then the technician's signature, an act apart from the work. */
export async function release(shop: Shop, set: DemoSet, words: string): Promise<void> {
  const [untested] = await read(shop, "asks a test", "SELECT FROM regulator_set WHERE id = $1 AND tested_seq < retest_seq", [set.id]);
  if (untested !== undefined) await testAsLeft(shop, set, words);
  await done(`release ${set.tag}`, releaseSets(shop.db, atBench(shop, set), [set.id], words));
}

/** Releases sets of several makers, each by a technician who may. */
export async function releaseAll(shop: Shop, site: SiteKey, sets: readonly DemoSet[], words: string): Promise<void> {
  for (const login of ["tobias", "ines"] as const) {
    const theirs = sets.filter((set) => technicianFor(set.kit.maker) === login).map((set) => set.id);
    if (theirs.length > 0) await done("release the first sets", releaseSets(shop.db, by(shop, login, site), theirs, words));
  }
}

