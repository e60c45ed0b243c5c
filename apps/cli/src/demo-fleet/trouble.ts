/**
 * Two models with more faults than the others. One comes of a bad batch, and keeps failing. The other had
 * three unlucky weeks: its rate looks as bad, and it is innocent. Figures have to tell them apart.
 */
import { clearFault, confirmFault, reportFault } from "@hangrail/db/bench-acts";
import { addDays, type Day } from "@hangrail/rules/calendar";
import { faultOf, type FaultCode } from "@hangrail/rules/faults";
import { release } from "./bench-round.ts";
import { oneDay } from "./set-pieces.ts";
import { atBench, done, inWashRoom, pass, read, type Shop } from "./shop.ts";

interface Trouble {
  readonly code: FaultCode;
  readonly position: "primary" | "first-stage";
  readonly words: string;
  readonly found: string;
  readonly mended: string;
  readonly opened: boolean;
  readonly cases: readonly (readonly [tag: string, daysAgo: number])[];
}

/** Hespera Lull: seats of one batch wear away in weeks. */
const BAD_BATCH: Trouble = {
  code: "SS-02",
  position: "primary",
  words: "Hisses on the rail as soon as it is under pressure",
  found: "Seat of the batch 11 marked and soft",
  mended: "Seat of a later batch fitted",
  opened: true,
  cases: [["H-07", 262], ["H-44", 236], ["H-09", 214], ["H-46", 191], ["H-08", 170], ["H-45", 148], ["H-10", 127], ["H-47", 105], ["H-07", 88], ["H-44", 66]],
};

/** Quillon Ridge N: three sets, three different small things, and never again. */
const BAD_LUCK: Trouble = {
  code: "FS-05",
  position: "first-stage",
  words: "Small hiss where it meets the valve",
  found: "Sealing ring nicked",
  mended: "Ring changed, tight at 200 bar",
  opened: false,
  cases: [["H-37", 158], ["H-41", 151], ["H-42", 139]],
};

/** Notes both. What lies before the opening is left out. */
export function planTrouble(shop: Shop, today: Day, opensOn: Day): void {
  for (const trouble of [BAD_BATCH, BAD_LUCK]) {
    for (const [tag, daysAgo] of trouble.cases) oneDay(shop, tag, addDays(today, -daysAgo), "14:45", opensOn, (set) => play(shop, set, trouble));
  }
}

async function play(shop: Shop, set: Parameters<typeof atBench>[1], { code, position, words, found, mended, opened }: Trouble): Promise<void> {
  const [part] = await read<{ id: string }>(shop, "part in trouble", "SELECT component_id AS id FROM fitting WHERE set_id = $1 AND position = $2 AND until_at IS NULL", [set.id, position]);
  const component = part?.id ?? null;
  const { fault } = await done("report trouble", reportFault(shop.db, inWashRoom(shop, set.site), set.id, { code, severity: faultOf(code).severity, component, where: "wash-room", words }));
  await pass(shop, 20);
  await done("confirm trouble", confirmFault(shop.db, atBench(shop, set), fault, { code, component: null, words: found }));
  await pass(shop, 15);
  await done("mend trouble", clearFault(shop.db, atBench(shop, set), fault, "mended", mended, opened));
  if (opened) await release(shop, set, "New seat, tested at 200 and 50 bar");
}
