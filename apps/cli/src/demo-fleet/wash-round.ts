/** The wash room of the demo centre: a fresh bath each evening, dry by the morning. */
import { emptyBath, endWet, finishWash, mixBath, startWash } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { productNeeded } from "@hangrail/rules/disinfectant";
import { BATH_LITRES, PRODUCTS } from "./catalogue.ts";
import type { Day } from "@hangrail/rules/calendar";
import { storyFault } from "./bench-round.ts";
import type { SiteKey } from "./people.ts";
import { done, inWashRoom, pass, read, setOf, type Shop } from "./shop.ts";

const SETS_IN_A_BATH = 12;

interface Waiting {
  readonly id: string;
  readonly tag: string;
}

/** Sets that wait for the wash: unclean, in no bath, in the house, with nothing for the bench to do first. */
const TO_CLEAN = `
  SELECT s.id, s.tag FROM regulator_set s
   WHERE s.site_id = $1 AND s.cleaned_seq <= s.soiled_seq AND s.released_seq > s.unreleased_seq
     AND s.evidence_seq IS NULL AND s.retired_seq IS NULL
     AND NOT EXISTS (SELECT FROM hire_line h WHERE h.set_id = s.id AND h.back_at IS NULL)
     AND NOT EXISTS (SELECT FROM fault f WHERE f.set_id = s.id AND f.cleared_at IS NULL AND f.severity IN ('out', 'hold'))
     AND NOT EXISTS (SELECT FROM cleaning_run_set w WHERE w.set_id = s.id AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL)
   ORDER BY s.tag`;

/** Washes all that came back, in as many runs as it takes. Now and then a hand finds a fault under the tap. */
export async function eveningWash(shop: Shop, site: SiteKey, on: Day): Promise<void> {
  const waiting = await read<Waiting>(shop, "to clean", TO_CLEAN, [shop.sites[site].id]);
  const sound: Waiting[] = [];
  for (const one of waiting) {
    if (!shop.chance.happens(0.004 * setOf(shop, one.tag).kit.trouble) || !(await findUnderTheTap(shop, one, on))) sound.push(one);
  }
  if (sound.length === 0) return;
  const bath = await mix(shop, site, `Evening bath ${on}`);
  for (let at = 0; at < sound.length; at += SETS_IN_A_BATH) {
    const run = await intoBath(shop, site, bath, sound.slice(at, at + SETS_IN_A_BATH));
    await pass(shop, PRODUCTS[site].wetMinutes + shop.chance.whole(1, 4));
    await outOfBath(shop, site, run);
  }
  await pourAway(shop, site, bath);
}

export async function pourAway(shop: Shop, site: SiteKey, bath: string): Promise<void> {
  await done("empty the bath", emptyBath(shop.db, inWashRoom(shop, site), bath));
}

async function findUnderTheTap(shop: Shop, one: Waiting, on: Day): Promise<boolean> {
  const set = setOf(shop, one.tag);
  const fault = await storyFault(shop, set, on);
  if (fault === null) return false;
  await done("report a fault from the wash room", reportFault(shop.db, inWashRoom(shop, set.site), set.id, { ...fault.input, where: "wash-room", words: fault.words }));
  fault.follow();
  return fault.input.severity !== "watch";
}

/** A bath at the label's strength, from two measured volumes. */
export async function mix(shop: Shop, site: SiteKey, label: string): Promise<string> {
  const product = PRODUCTS[site];
  const { productMl, waterMl } = productNeeded(product.strengthHundredths, product.targetPpm * 10, BATH_LITRES[site] * 1000);
  const lot = `${product.name.slice(0, 1)}${label.replace(/\D/g, "").slice(2, 6) || "24"}`;
  const { bath } = await done("mix a bath", mixBath(shop.db, inWashRoom(shop, site), { product: shop.sites[site].product, label, lot, productMl, waterMl }));
  return bath;
}

/** Puts sets in a bath; returns the run. */
export async function intoBath(shop: Shop, site: SiteKey, bath: string, sets: readonly { readonly id: string }[]): Promise<string> {
  const { run } = await done("start a wash", startWash(shop.db, inWashRoom(shop, site), bath, sets.map((set) => set.id)));
  return run;
}

export async function outOfBath(shop: Shop, site: SiteKey, run: string): Promise<void> {
  await done("end a bath", endWet(shop.db, inWashRoom(shop, site), run));
}

/** Takes what is dry off the rail. */
export async function finishWashes(shop: Shop, site: SiteKey): Promise<void> {
  const dry = await read<{ run: string; sets: string[] }>(
    shop,
    "dry",
    `SELECT r.id AS run, array_agg(w.set_id::text ORDER BY s.tag) AS sets
       FROM cleaning_run r JOIN cleaning_run_set w ON w.run_id = r.id JOIN regulator_set s ON s.id = w.set_id JOIN site t ON t.id = r.site_id
      WHERE r.site_id = $1 AND r.closed_at IS NULL AND r.dry_from + make_interval(mins => t.drying_minutes) <= $2
        AND w.clean_seq IS NULL AND w.abandoned_seq IS NULL
      GROUP BY r.id ORDER BY min(s.tag)`,
    [shop.sites[site].id, new Date(shop.clock).toISOString()],
  );
  for (const { run, sets } of dry) await done("finish a wash", finishWash(shop.db, inWashRoom(shop, site), run, sets));
}
