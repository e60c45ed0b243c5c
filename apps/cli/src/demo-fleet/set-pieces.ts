/** What happens once in the demo's story, to sets named here, so that every page has something to show. */
import { addModel, approveProduct, refit, registerSet, retireSet, transferSet, type HireInput } from "@hangrail/db/acts";
import { clearNotice, openNotice, recordWork } from "@hangrail/db/bench-acts";
import { addDays, addMonths, type Day } from "@hangrail/rules/calendar";
import type { Role } from "@hangrail/rules/models";
import { kitsFor, lookOver, release, workOn } from "./bench-round.ts";
import { MODELS, UNJUDGED } from "./catalogue.ts";
import { bringBack, give, soundReturn } from "./desk-round.ts";
import { NEW_SET, partsOf } from "./fleet.ts";
import { hirerName } from "./hirers.ts";
import { modelIds } from "./opening.ts";
import { MANAGER } from "./people.ts";
import { asSeen, atBench, by, done, leave, plan, read, setOf, type DemoSet, type Shop } from "./shop.ts";

type Workday = readonly [tag: string, on: Day];

/** The days on which these sets were last worked on, so that today finds them overdue, due soon or idle too long. */
export function lastWorkdays(today: Day): readonly Workday[] {
  const lastYear = addMonths(today, -12);
  return [
    ["H-18", addMonths(today, -14)],
    ["H-22", addMonths(today, -13)],
    ["H-27", addDays(lastYear, 2)],
    ["H-28", addDays(lastYear, 4)],
    ["H-29", addDays(lastYear, 6)],
    ["H-30", addDays(lastYear, 9)],
    ["L-09", addDays(lastYear, 8)],
    ["H-36", addMonths(today, -10)],
    ["H-15", addMonths(today, -8)],
  ];
}

/** Notes all of it. What lies before the opening is left out. */
export function planSetPieces(shop: Shop, today: Day, opensOn: Day): void {
  for (const [tag, on] of lastWorkdays(today)) {
    leave(shop.benchLeaves, tag, on);
    if (on < opensOn) continue;
    leave(shop.deskLeaves, tag, addDays(on, -11), on);
    oneDay(shop, tag, on, "15:10", opensOn, async (set) => {
      if (await workOn(shop, set, "all")) await release(shop, set, "All tests passed after the work");
    });
  }
  // Forgotten on the school's shelf and in the shed; the third waits in its box.
  leave(shop.deskLeaves, "H-18", addMonths(today, -6));
  leave(shop.deskLeaves, "H-22", addMonths(today, -4));
  leave(shop.deskLeaves, "H-36", addMonths(today, -10));
  planWornOut(shop, today, opensOn);
  planNotice(shop, today, opensOn);
  planRetirements(shop, today, opensOn);
  planAccident(shop, today, opensOn);
  planTransfer(shop, today, opensOn);
  planNewSet(shop, today, opensOn);
  planTransmitterOnly(shop, today, opensOn);
}

/** Notes one act on one set; a set that is out then is waited for. */
export function oneDay(shop: Shop, tag: string, on: Day, time: string, opensOn: Day, happen: (set: DemoSet) => Promise<void>): void {
  if (on < opensOn) return;
  const set = setOf(shop, tag);
  plan(shop, set.site, on, time, async () => {
    const [open] = await read(shop, "is out", "SELECT FROM hire_line WHERE set_id = $1 AND back_at IS NULL", [set.id]);
    if (open === undefined) await happen(set);
    else oneDay(shop, tag, addDays(on, 1), time, opensOn, happen);
  });
}

/** A hire as the story wants it: air, calm water, what the first set's connection asks for. */
export function plainHire(shop: Shop, set: DemoSet, backOn: Day, dives: number, more: Partial<HireInput> = {}): HireInput {
  return {
    hirer: hirerName(shop.chance),
    contact: `room ${shop.chance.whole(1, 48)}`,
    backOn,
    dives,
    minutes: dives * shop.sites[set.site].minutesPerDive,
    teaching: false,
    cylinderConnection: set.kit.connection,
    cylinderBar: 200,
    o2Tenths: 210,
    waterTenthsC: 160,
    depthM: 18,
    ...more,
  };
}

/** The favourite of the harbour: hired until a long trip took it past its hundred dives. */
function planWornOut(shop: Shop, today: Day, opensOn: Day): void {
  const tag = "H-15";
  shop.favourites.set(tag, { from: addMonths(today, -8), downTo: 10 });
  leave(shop.deskLeaves, tag, addDays(today, -20));
  oneDay(shop, tag, addDays(today, -12), "09:20", opensOn, async (set) => {
    const [board] = await read<{ left: number | null }>(shop, "dives left", "SELECT dives_left AS left FROM set_board WHERE id = $1 AND state = 'ready'", [set.id]);
    const left = board?.left;
    if (left == null || left < 1 || !(await give(shop, "harbour", [set], plainHire(shop, set, addDays(today, -9), Math.min(left, 12))))) return;
    plan(shop, "harbour", addDays(today, -9), "16:20", () => bringBack(shop, "harbour", [soundReturn(set, left + 2, "sea")]));
  });
}

/** A maker's notice about a batch of second stages: most are seen to, two still wait. */
function planNotice(shop: Shop, today: Day, opensOn: Day): void {
  const on = addDays(today, -48);
  if (on < opensOn) return;
  const batch = ["H-13", "H-14", "H-15", "H-16", "H-17", "H-18"];
  const nearMiss = "H-12";
  plan(shop, "harbour", on, "11:05", async () => {
    const found = await read<{ tag: string; component: string; serial: string }>(
      shop,
      "batch",
      `SELECT s.tag, c.id AS component, c.serial FROM regulator_set s JOIN fitting f ON f.set_id = s.id AND f.until_at IS NULL AND f.position = 'primary'
         JOIN component c ON c.id = f.component_id WHERE s.tag = ANY ($1) ORDER BY s.tag`,
      [[nearMiss, ...batch]],
    );
    const serials = found.filter((one) => one.tag !== nearMiss).map((one) => one.serial).sort();
    const number = (serial: string): string => serial.replace(/\D/g, "");
    // One serial of the notice has a digit too many, as printed notices do; a set of ours is close to it.
    const close = number(found.find((one) => one.tag === nearMiss)?.serial as string);
    const misprint = Number(`${close.slice(0, 1)}0${close.slice(1)}`);
    const { model } = (await read<{ model: string }>(shop, "fin", "SELECT model_id AS model FROM component WHERE id = $1", [found[0]?.component]))[0] as { model: string };
    const prefix = MODELS.tarnWarm.prefix;
    const { notice } = await done(
      "open a notice",
      openNotice(
        shop.db,
        by(shop, "tobias", "harbour"),
        {
          title: "Fin second stages: lever may bend",
          reference: "TW-SN 07",
          hazard: `Levers of one batch, serials ${serials[0]} to ${serials.at(-1)}, may bend and make breathing hard.`,
          remedy: "Replace the lever, set the cracking effort anew and note the batch number of the new lever.",
          publishedOn: addDays(on, -4),
          ranges: [
            { model, prefix, digits: 6, low: number(serials[0] as string), high: number(serials.at(-1) as string) },
            { model, prefix, digits: 7, low: String(misprint - 1), high: String(misprint + 1) },
          ],
        },
      ),
    );
    const clearing: readonly [tag: string, daysLater: number][] = [["H-13", 11], ["H-12", 12], ["H-14", 12], ["H-15", 13], ["H-16", 19]];
    for (const [tag, daysLater] of clearing) {
      const component = found.find((one) => one.tag === tag)?.component as string;
      oneDay(shop, tag, addDays(on, daysLater), "14:30", opensOn, (set) => seeTo(shop, set, notice, component, tag === nearMiss));
    }
  });
}

async function seeTo(shop: Shop, set: DemoSet, notice: string, component: string, outside: boolean): Promise<void> {
  if (!outside) {
    await done("replace a lever", recordWork(shop.db, atBench(shop, set), set.id, { kind: "service", components: [component], oxygenClean: false, words: "Lever replaced after notice TW-SN 07, new lever batch 22; serviced", kits: await kitsFor(shop, [component]) }));
  }
  await done("clear a notice", clearNotice(shop.db, atBench(shop, set), notice, component, outside ? "Serial read on the part itself: it lies outside the range" : "Lever replaced, batch 22"));
  if (!outside) await release(shop, set, "Lever replaced, all tests passed");
}

function planRetirements(shop: Shop, today: Day, opensOn: Day): void {
  const retirements: readonly [tag: string, on: Day, words: string][] = [
    ["H-46", addMonths(today, -5), "First stage corroded under its boot, not worth a service"],
    ["L-14", addMonths(today, -2), "Driven over by the trailer"],
  ];
  for (const [tag, on, words] of retirements) {
    leave(shop.deskLeaves, tag, addDays(on, -11));
    const { site } = setOf(shop, tag);
    oneDay(shop, tag, on, "10:40", opensOn, async (set) => void (await done("retire a set", retireSet(shop.db, by(shop, MANAGER.login, site), set.id, words))));
  }
}

/** A hirer surfaced in trouble: the set is sealed as it came back. */
function planAccident(shop: Shop, today: Day, opensOn: Day): void {
  const tag = "H-25";
  leave(shop.deskLeaves, tag, addDays(today, -50));
  const hireOn = (on: Day): void =>
    oneDay(shop, tag, on, "09:45", opensOn, async (set) => {
      if (!(await give(shop, "harbour", [set], plainHire(shop, set, on, 2, { depthM: 28 })))) return hireOn(addDays(on, 1));
      plan(shop, "harbour", on, "14:50", () =>
        bringBack(shop, "harbour", [
          { ...soundReturn(set, 1, "sea"), problem: true, words: "Diver came up fast and was taken to the chamber; set not touched since", fault: { code: "GN-03", severity: "out", component: null } },
        ]),
      );
    });
  hireOn(addDays(today, -37));
}

function planTransfer(shop: Shop, today: Day, opensOn: Day): void {
  const tag = "H-26";
  const on = addMonths(today, -8);
  leave(shop.deskLeaves, tag, addDays(on, -11), on);
  oneDay(shop, tag, on, "10:15", opensOn, async (set) => {
    await done("send a set to the lake", transferSet(shop.db, by(shop, MANAGER.login, "harbour"), set.id, shop.sites.lake.id));
    set.site = "lake";
    plan(shop, "lake", addDays(on, 1), "13:40", () => release(shop, set, "Came from the harbour, looked over and fit for hire here"));
  });
}

/** A new set whose gauge is of a model that nobody has read the manual of yet. */
function planNewSet(shop: Shop, today: Day, opensOn: Day): void {
  const on = addDays(today, -21);
  if (on < opensOn) return;
  plan(shop, "harbour", on, "10:30", async () => {
    const tobias = () => by(shop, "tobias", "harbour");
    const { model: gauge } = await done("add a model", addModel(shop.db, tobias(), UNJUDGED.kind, UNJUDGED.maker, UNJUDGED.name));
    await done("approve a product", approveProduct(shop.db, tobias(), shop.sites.harbour.product, [gauge], "Leaflet in the box, page 1"));
    const ids = await modelIds(shop);
    const parts = partsOf(NEW_SET).map(([position, key]) => ({
      model: position === "gauge" ? gauge : (ids.get(key) as string),
      serial: position === "gauge" ? "DS70118" : `${MODELS[key].prefix}${990_000 + position.length}`,
      position: position as Role,
      boughtOn: addDays(on, -9),
      inUseOn: on,
    }));
    const { set: id } = await done("register a new set", registerSet(shop.db, tobias(), NEW_SET.tag, parts));
    const set: DemoSet = { tag: NEW_SET.tag, id, kit: NEW_SET.kit, forCourses: false, site: "harbour" };
    shop.sets.set(set.tag, set);
    const components = await read<{ id: string }>(shop, "components", "SELECT component_id AS id FROM fitting WHERE set_id = $1 AND until_at IS NULL", [id]);
    await done("inspect a new set", recordWork(shop.db, tobias(), id, { kind: "inspection", components: components.map((one) => one.id), oxygenClean: false, words: "Looked over before its first use" }));
    await release(shop, set, "New, all tests passed");
  });
}

/** Its gauge went back to the dealer; a transmitter alone is no gauge. */
function planTransmitterOnly(shop: Shop, today: Day, opensOn: Day): void {
  const tag = "H-35";
  leave(shop.deskLeaves, tag, addDays(today, -18));
  leave(shop.benchLeaves, tag, addDays(today, -6));
  oneDay(shop, tag, addDays(today, -6), "14:20", opensOn, async (set) => {
    const [gauge] = await read<{ id: string }>(shop, "gauge", "SELECT component_id AS id FROM fitting WHERE set_id = $1 AND position = 'gauge' AND until_at IS NULL", [set.id]);
    const [echo] = await read<{ id: string }>(
      shop,
      "spare echo",
      `SELECT c.id FROM component c JOIN model m ON m.id = c.model_id WHERE m.kind = 'transmitter' AND c.site_id = $1
          AND NOT EXISTS (SELECT FROM fitting f WHERE f.component_id = c.id) ORDER BY c.serial LIMIT 1`,
      [shop.sites.harbour.id],
    );
    await done("take a gauge off", refit(shop.db, atBench(shop, set), { id: set.id, seq: null }, gauge?.id as string, null, "gauge", "Needle slow, goes back to the dealer"));
    await done("fit a transmitter", refit(shop.db, atBench(shop, set), await asSeen(shop, set.id), null, echo?.id as string, "transmitter", "Asked for by a regular hirer"));
    await lookOver(shop, set, [echo?.id as string]);
    await release(shop, set, "Tight at 200 bar; a gauge is still to come");
  });
}

