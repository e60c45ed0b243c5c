/** The last days and the last hours before now, so that the demo's first page has work on it. */
import { startWash } from "@hangrail/db/acts";
import { confirmFault, openWorkOrder, parkWorkOrder, reportFault, takeWorkOrder } from "@hangrail/db/bench-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import type { FaultCode } from "@hangrail/rules/faults";
import { tidyShelf } from "./bench-gear.ts";
import { release, workOn } from "./bench-round.ts";
import { bringBack, give, soundReturn } from "./desk-round.ts";
import type { SiteKey } from "./people.ts";
import { oneDay, plainHire } from "./set-pieces.ts";
import { arriveAt, atBench, done, inWashRoom, leave, plan, read, setOf, type Shop } from "./shop.ts";
import { finishWashes, intoBath, mix, outOfBath } from "./wash-round.ts";

/** Kept for the last days, so that they are at hand when their turn comes. */
const CAST = {
  lateLongest: ["H-20"],
  late: ["H-38"],
  nitroxPair: ["H-39", "H-40"],
  course: ["H-01", "H-02", "H-03"],
  outAtLake: ["L-04"],
  toClean: ["H-43"],
  toCleanAtLake: ["L-05"],
  inBath: ["H-11", "H-13", "H-14"],
  drying: ["H-23", "H-24"],
  bubbling: ["H-31"],
} as const;
const OUT_YESTERDAY: readonly (readonly string[])[] = [CAST.toClean, CAST.toCleanAtLake, CAST.inBath, CAST.drying];
const TO_RELEASE = ["H-21", "H-33"] as const;
const HARD_TO_BREATHE = "H-17";
const STICKY_NEEDLE = "L-03";

/** Notes what leads up to today. */
export function planLastDays(shop: Shop, today: Day, opensOn: Day): void {
  const hired = Object.values(CAST).flat();
  for (const tag of [...hired, ...TO_RELEASE, HARD_TO_BREATHE, STICKY_NEEDLE]) leave(shop.deskLeaves, tag, addDays(today, -20));
  for (const tag of TO_RELEASE) leave(shop.benchLeaves, tag, addDays(today, -3));
  for (const tag of hired) {
    leave(shop.benchLeaves, tag, addDays(today, -9));
    oneDay(shop, tag, addDays(today, -10), "14:10", opensOn, async (set) => {
      if (await workOn(shop, set, "due")) await release(shop, set, "Serviced ahead of the busy days, all tests passed");
    });
  }
  hire(shop, CAST.lateLongest, addDays(today, -6), "09:30", addDays(today, -2), 6);
  hire(shop, CAST.late, addDays(today, -4), "10:00", addDays(today, -1), 4);
  hire(shop, CAST.nitroxPair, addDays(today, -2), "09:15", addDays(today, 2), 6, { o2Tenths: 320 });
  hire(shop, CAST.bubbling, addDays(today, -3), "09:50", addDays(today, -2), 3);
  plan(shop, "harbour", addDays(today, -2), "15:40", async () => {
    const set = setOf(shop, CAST.bubbling[0]);
    const words = "String of bubbles from the first stage, both dives";
    const fault = { code: "FS-04", severity: "out", component: await partOf(shop, set.id, "first-stage") } as const;
    await bringBack(shop, "harbour", [{ ...soundReturn(set, 3, "sea"), problem: true, words, fault }]);
  });
  plan(shop, "harbour", addDays(today, -3), "14:35", () => report(shop, HARD_TO_BREATHE, "SS-11", "primary", "bench", "Breath thins out below 40 bar; see notice TW-SN 07"));
  plan(shop, "harbour", addDays(today, -2), "14:10", () => awaitParts(shop, today));
  plan(shop, "harbour", addDays(today, -1), "16:40", () => tidyShelf(shop, shop.kits, addDays(today, -1)));
  plan(shop, "harbour", addDays(today, -1), "15:30", async () => void (await workOn(shop, setOf(shop, TO_RELEASE[0]), "all")));
  OUT_YESTERDAY.forEach((tags, at) => {
    const site = setOf(shop, tags[0] as string).site;
    const yesterday = shop.sites[site].lastDay;
    hire(shop, tags, yesterday, `10:${10 + at * 12}`, addDays(yesterday, 1), 2);
  });
}

/** Plays the last two hours and a half. */
export async function playToday(shop: Shop): Promise<void> {
  const today = addDays(shop.sites.harbour.lastDay, 1);
  const lakeToday = addDays(shop.sites.lake.lastDay, 1);
  const ago = (minutes: number): Promise<void> => arriveAt(shop, shop.now - minutes * 60_000);
  const sets = (tags: readonly string[]) => tags.map((tag) => setOf(shop, tag));
  const back = (site: SiteKey, tags: readonly string[]) => bringBack(shop, site, sets(tags).map((set) => soundReturn(set, 2, site === "lake" ? "fresh" : "sea")));

  await ago(150);
  for (const site of ["harbour", "lake"] as const) await finishWashes(shop, site);
  // A little over an hour at the bench; the rest follows from there.
  await workOn(shop, setOf(shop, TO_RELEASE[1]), "all");
  await ago(78);
  await mustGive(shop, CAST.course, addDays(today, 1), 4, { teaching: true, depthM: 12 });
  await ago(70);
  await mustGive(shop, CAST.outAtLake, lakeToday, 2);
  await ago(64);
  await report(shop, STICKY_NEEDLE, "PG-02", "gauge", "wash-room", "Needle stays at 60 when the pressure is off, then drops");
  await ago(50);
  await back("harbour", CAST.drying);
  await ago(47);
  await back("harbour", CAST.inBath);
  await ago(42);
  const bath = await mix(shop, "harbour", `Day bath ${today}`);
  await ago(38);
  const run = await intoBath(shop, "harbour", bath, sets(CAST.drying));
  await ago(26);
  await outOfBath(shop, "harbour", run);
  await ago(22);
  await back("lake", CAST.toCleanAtLake);
  await ago(18);
  await toTheBench(shop, CAST.bubbling[0]);
  await done("ask for a service", openWorkOrder(shop.db, atBench(shop, setOf(shop, "H-27")), setOf(shop, "H-27").id, { kind: "service", fault: null, notice: null, weekOn: null, words: "Due within days; before the weekend if a bench is free" }));
  await ago(14);
  await back("harbour", CAST.toClean);
  await ago(6);
  await done("start the last wash", startWash(shop.db, inWashRoom(shop, "harbour"), bath, sets(CAST.inBath).map((set) => set.id)));
}

/** An open fault of a set, by its tag. */
async function openFault(shop: Shop, tag: string): Promise<string> {
  const [fault] = await read<{ id: string }>(shop, "open fault of", "SELECT id FROM fault WHERE set_id = $1 AND cleared_at IS NULL ORDER BY reported_at DESC LIMIT 1", [setOf(shop, tag).id]);
  return (fault as { id: string }).id;
}

async function toTheBench(shop: Shop, tag: string): Promise<string> {
  const set = setOf(shop, tag);
  const who = () => atBench(shop, set);
  const { order } = await done("ask for a repair", openWorkOrder(shop.db, who(), set.id, { kind: "repair", fault: await openFault(shop, tag), notice: null, weekOn: null, words: "" }));
  await done("take a repair to the bench", takeWorkOrder(shop.db, who(), order));
  return order;
}

/** Found to be what the desk heard, and the part is not on the shelf. */
async function awaitParts(shop: Shop, today: Day): Promise<void> {
  const set = setOf(shop, HARD_TO_BREATHE);
  const fault = await openFault(shop, HARD_TO_BREATHE);
  const order = await toTheBench(shop, HARD_TO_BREATHE);
  await done("confirm a fault", confirmFault(shop.db, atBench(shop, set), fault, { code: "SS-11", component: null, words: "Thins out at 38 bar on the bench too; lever of the noticed batch" }));
  await done("wait for parts", parkWorkOrder(shop.db, atBench(shop, set), order, "Lever of the new batch, ordered from the maker", addDays(today, 12)));
}

function hire(shop: Shop, tags: readonly string[], on: Day, time: string, backOn: Day, dives: number, more: { readonly o2Tenths?: number } = {}): void {
  const { site } = setOf(shop, tags[0] as string);
  plan(shop, site, on, time, () => mustGive(shop, tags, backOn, dives, more));
}

async function mustGive(shop: Shop, tags: readonly string[], backOn: Day, dives: number, more: Parameters<typeof plainHire>[4] = {}): Promise<void> {
  const party = tags.map((tag) => setOf(shop, tag));
  const [lead] = party;
  if (lead === undefined || !(await give(shop, lead.site, party, plainHire(shop, lead, backOn, dives, more)))) {
    throw new Error(`The demo fleet could not hand out ${tags.join(", ")}.`);
  }
}

async function report(shop: Shop, tag: string, code: FaultCode, position: string, where: "bench" | "wash-room", words: string): Promise<void> {
  const set = setOf(shop, tag);
  const who = where === "bench" ? atBench(shop, set) : inWashRoom(shop, set.site);
  await done("report a fault", reportFault(shop.db, who, set.id, { code, severity: "out", component: await partOf(shop, set.id, position), where, words }));
}

async function partOf(shop: Shop, set: string, position: string): Promise<string> {
  const [part] = await read<{ id: string }>(shop, "part", "SELECT component_id AS id FROM fitting WHERE set_id = $1 AND position = $2 AND until_at IS NULL", [set, position]);
  return (part as { id: string }).id;
}

