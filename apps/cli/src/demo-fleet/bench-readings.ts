/** What the demo's bench reads: around the middle of each model's band, moving a little with wear. */
import { recordBenchTest, type JudgedReading } from "@hangrail/db/bench-acts";
import { FIGURES } from "./bench-gear.ts";
import { MODELS, type ModelKey } from "./catalogue.ts";
import { atBench, done, read, type DemoSet, type Shop } from "./shop.ts";

interface Fitted {
  readonly component: string;
  readonly position: string;
  readonly maker: string;
  readonly model: string;
  readonly wear: number;
}

/** A test as left that passes: the work has been done well. */
export async function testAsLeft(shop: Shop, set: DemoSet, words: string): Promise<void> {
  const [fitted, gauges] = await Promise.all([fittedIn(shop, set), gaugesAt(shop, set)]);
  const readings = fitted.flatMap((part) => readingsOf(shop, part, gauges));
  await done(`test ${set.tag}`, recordBenchTest(shop.db, atBench(shop, set), set.id, { phase: "as-left", verdict: "pass", words, order: null, readings, curves: [] }));
}

const fittedIn = (shop: Shop, set: DemoSet): Promise<Fitted[]> =>
  read<Fitted>(
    shop,
    "fitted for a test",
    `SELECT f.component_id AS component, f.position, m.maker, m.name AS model, least(c.dives_total / 400.0, 1)::float8 AS wear
       FROM fitting f JOIN component c ON c.id = f.component_id JOIN model m ON m.id = c.model_id WHERE f.set_id = $1 AND f.until_at IS NULL ORDER BY f.position, c.serial`,
    [set.id],
  );

async function gaugesAt(shop: Shop, set: DemoSet): Promise<ReadonlyMap<string, string>> {
  const rows = await read<{ name: string; id: string }>(shop, "gauges", "SELECT name, id FROM test_gauge WHERE site_id = $1", [shop.sites[set.site].id]);
  return new Map(rows.map(({ name, id }) => [name, id]));
}

function readingsOf(shop: Shop, part: Fitted, gauges: ReadonlyMap<string, string>): JudgedReading[] {
  const key = (Object.keys(MODELS) as ModelKey[]).find((one) => MODELS[one].maker === part.maker && MODELS[one].name === part.model);
  const figures = key === undefined ? undefined : FIGURES[key];
  const bare = { component: part.component, supplyCbar: null, atCbar: null, adjuster: null, venturi: null, verdict: "pass", why: null } as const;
  const around = ({ low, high }: { readonly low: number; readonly high: number }, lean = 0): number => {
    const middle = (low + high) / 2;
    return Math.round(middle + (high - low) * (0.12 * (shop.chance.next() - 0.5) + lean));
  };
  const bench = gauges.get("Bench gauge 1") ?? null;
  const effort = gauges.get("Effort gauge") ?? null;
  if (part.position === "first-stage" && figures?.pressure !== undefined) {
    const { pressure, creep = 30, change = 40 } = figures;
    const high = around(pressure, 0.08 * part.wear);
    const falls = Math.round(change * (0.3 + 0.2 * shop.chance.next()));
    return [
      { ...bare, name: "intermediate-pressure", supplyCbar: 20_000, value: high, gauge: bench, ...pressure },
      { ...bare, name: "intermediate-pressure", supplyCbar: 5_000, value: high - falls, gauge: bench, ...pressure },
      { ...bare, name: "supply-change", value: falls, gauge: bench, low: null, high: change },
      { ...bare, name: "creep", supplyCbar: 20_000, value: Math.round(creep * (0.1 + 0.3 * shop.chance.next() + 0.2 * part.wear)), gauge: bench, low: null, high: creep },
    ];
  }
  const band = part.position === "primary" ? figures?.primary : part.position === "alternate" ? figures?.alternate : undefined;
  if (band !== undefined) {
    return [
      { ...bare, name: "cracking-effort", value: around(band, 0.14 * part.wear), adjuster: "out", venturi: "dive", gauge: effort, ...band },
      { ...bare, name: "vacuum-held", value: 1, gauge: null, low: null, high: null },
      { ...bare, name: "immersion-leak", value: 0, gauge: null, low: null, high: null },
    ];
  }
  if (part.position !== "gauge") return [];
  const master = gauges.get("Master gauge") ?? null;
  const against = (atCbar: number, reach: number): JudgedReading => ({ ...bare, name: "gauge-error", atCbar, value: shop.chance.whole(-2, 2) * 100, gauge: master, low: -reach, high: reach });
  return [{ ...bare, name: "gauge-zero", value: 0, gauge: null, low: null, high: null }, against(5_000, 500), against(10_000, 1_000), against(20_000, 1_000)];
}
