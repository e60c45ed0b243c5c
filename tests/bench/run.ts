/**
 * `npm run bench`: how fast the heart is, as ratios measured in one run on this machine. Absolute times
 * mean little on another machine; ratios travel. `npm run bench -- centre` measures one fleet alone,
 * `npm run bench -- plan` the plan alone, `npm run bench -- record` the record alone, in seconds.
 */
import { readBoard } from "@hangrail/db/board";
import { ownerPool } from "@hangrail/db/connect";
import { openDatabase, type Database } from "@hangrail/db/database";
import { loadSetsById, type LoadedSet } from "@hangrail/db/set-facts";
import { addDays, day } from "@hangrail/rules/calendar";
import { dueOf } from "@hangrail/rules/due-dates";
import { decideHandOut, type HireTerms } from "@hangrail/rules/hand-out";
import { databaseFrom, startTestServer } from "../support/embedded.ts";
import { FLEETS, writeFleet, type FleetSize, type MeasuredSite } from "./fleet-writer.ts";
import { measureHandOut } from "./hand-out.ts";
import { measureHttp } from "./http.ts";
import { median, ratioLine, timed, type Sample } from "./measure.ts";
import { measurePlan } from "./plan.ts";
import { measureRecord } from "./record.ts";
import { measureTrends } from "./trends.ts";

const wanted = process.argv.slice(2);
const fleets = FLEETS.filter(({ name }) => wanted.length === 0 || wanted.some((word) => name.includes(word)));
const planToo = wanted.length === 0 || wanted.includes("plan");
const recordToo = wanted.length === 0 || wanted.includes("record");
if (fleets.length === 0 && !planToo && !recordToo) {
  console.error(`No fleet is called ${wanted.join(" ")}. There are: ${FLEETS.map(({ name }) => name).join(", ")}, plan and record.`);
  process.exit(2);
}
if (planToo) await measurePlan();
if (fleets.length === 0 && !recordToo) process.exit(0);

const server = await startTestServer({ durable: true });
const handOuts: { fleet: FleetSize; alone: Sample }[] = [];
try {
  if (recordToo) await measureRecord(server);
  for (const fleet of fleets) {
    const database = await databaseFrom(server);
    const began = performance.now();
    const where = await writeFleet(database.ownerPool, fleet);
    console.log(`\n${fleet.name}: ${fleet.sets} sets, ${fleet.sites} sites, ${fleet.hireLines} hire lines (written in ${((performance.now() - began) / 1000).toFixed(0)} s)`);
    const owner = ownerPool(database.ownerUrl, { connections: 20, name: "hangrail bench" });
    const db = openDatabase({ appUrl: database.url, actConnections: 20, readConnections: 4 });
    handOuts.push({ fleet, alone: await measureHandOut(owner, db, where) });
    await measureBoard(db, where);
    await measureRules(db, where);
    await measureTrends(owner, db, where, fleet.hireLines >= 1_000_000);
    await measureHttp(owner, db, database.url, where);
    await Promise.all([db.close(), owner.end()]);
    await database.drop();
  }
  const [smallest] = handOuts;
  const largest = handOuts.at(-1);
  if (smallest && largest && smallest !== largest) {
    console.log(`\nacross fleets`);
    console.log(ratioLine(`hand-out p99, ${largest.fleet.name} / ${smallest.fleet.name}`, largest.alone.p99 / smallest.alone.p99, 1.3, ms(largest.alone)));
  }
} finally {
  await server.stop();
}
process.exit(0);

async function measureBoard(db: Database, { site }: MeasuredSite): Promise<void> {
  const question = { site, search: null, states: [], model: null, sort: "dueOn", descending: false, offset: 0, limit: 50 } as const;
  const raw = await timed(1, 20, async () => {
    await db.reads.query("SELECT id, tag, state, due_on, dives_left, back_on, last_at, count(*) OVER () FROM set_board WHERE site_id = $1 ORDER BY due_on NULLS LAST, tag LIMIT 50", [site]);
  });
  const board = await timed(1, 20, async () => void (await readBoard(db, question)));
  console.log(ratioLine("board, first page by due date / hand-written SQL, p50", board.p50 / raw.p50, 2, ms(board)));
}

async function measureRules(db: Database, { site }: MeasuredSite): Promise<void> {
  const { rows } = await db.reads.query<{ id: string }>("SELECT id FROM regulator_set ORDER BY id LIMIT 400");
  const loaded = await loadSetsById(db, site, rows.map(({ id }) => id));
  const sets: LoadedSet[] = Array.from({ length: 20_000 }, (_, at) => loaded[at % loaded.length]!);
  const today = sets[0]!.today;
  const hire: HireTerms = { backOn: addDays(today, 2), dives: 4, minutes: 240, teaching: false, cylinder: { connection: "din-300", centibar: 23_200 }, o2Tenths: 210, waterTenthsC: 150, depthDecimetres: 180 };
  const perSet = (work: (set: LoadedSet) => unknown): number => {
    const passes = Array.from({ length: 7 }, () => {
      const began = performance.now();
      for (const set of sets) work(set);
      return ((performance.now() - began) * 1000) / sets.length;
    });
    return median(passes);
  };
  const gate = perSet((set) => decideHandOut(set.facts, set.components, hire, set.policy, day(today)));
  const due = perSet((set) => set.components.map((c) => dueOf(c, set.policy, today)));
  console.log(`${"gate for a set of five in memory".padEnd(58)} ${gate.toFixed(2).padStart(7)} µs  (under 5: ${gate < 5 ? "kept" : "NOT kept"})`);
  console.log(`${"due dates of a set of five in memory".padEnd(58)} ${due.toFixed(2).padStart(7)} µs  (under 5: ${due < 5 ? "kept" : "NOT kept"})`);
}

function ms({ p50, p99 }: Sample): string {
  return `p50 ${p50.toFixed(2)} ms, p99 ${p99.toFixed(2)} ms`;
}
