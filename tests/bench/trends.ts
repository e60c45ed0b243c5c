/** Fault figures over every hire there ever was, against one scan of the hires themselves; judged where there are millions. */
import { rollExposure } from "@hangrail/db/exposure";
import type { Database } from "@hangrail/db/database";
import { countByMonth, countFaults, type TrendQuestion } from "@hangrail/db/trends";
import { day } from "@hangrail/rules/calendar";
import { compareModels, monthlyChart } from "@hangrail/rules/fault-verdict";
import type pg from "pg";
import type { MeasuredSite } from "./fleet-writer.ts";
import { ratioLine, timed } from "./measure.ts";

const FROM = day("2018-01-01");

/** One fault in a hundred hires, on the first stage. */
async function writeFaults(owner: pg.Pool, staff: string): Promise<void> {
  const client = await owner.connect();
  try {
    await client.query("SET statement_timeout = 0");
    await client.query(
      `INSERT INTO fault (set_id, component_id, line_id, code, severity, found_where, words, report_seq, reported_at, reported_by, clear_seq, cleared_at, cleared_by, outcome, clear_words)
       SELECT l.set_id, u.component_id, l.id, 'FS-01', 'out', 'desk', 'hisses', 1, l.back_at, $1, 2, l.back_at + interval '1 day', $1, 'mended', 'seat'
         FROM hire_line l JOIN component_use u ON u.line_id = l.id WHERE l.id % 100 = 0`,
      [staff],
    );
    await client.query("ANALYZE fault");
  } finally {
    client.release();
  }
}

export async function measureTrends(owner: pg.Pool, db: Database, { staff }: MeasuredSite, judged: boolean): Promise<void> {
  await writeFaults(owner, staff);
  const began = performance.now();
  await rollExposure(db);
  console.log(`sums brought up to date in ${((performance.now() - began) / 1000).toFixed(1)} s, beside the acts and once`);
  const { rows: sites } = await db.reads.query<{ id: string }>("SELECT id FROM site");
  const { rows: clock } = await db.reads.query<{ today: string }>("SELECT kitroom_clock()::date::text AS today");
  const question: TrendQuestion = { sites: sites.map(({ id }) => id), from: FROM, until: day(clock[0]!.today), confirmedOnly: true, kind: null, model: null, maker: null, code: null, water: null };
  const scan = await timed(1, 8, async () => void (await db.reads.query("SELECT count(*), sum(dives) FROM hire_line")));
  const models = await timed(1, 8, async () => void compareModels(await countFaults(db, "model", question)));
  const months = await timed(1, 8, async () => void monthlyChart(await countByMonth(db, question)));
  const detail = (p50: number) => `p50 ${p50.toFixed(0)} ms, scan ${scan.p50.toFixed(0)} ms`;
  console.log(ratioLine("trends, models of the whole fleet / one scan of its hires", models.p50 / scan.p50, judged ? 1.5 : null, detail(models.p50)));
  console.log(ratioLine("trends, months of the whole fleet / one scan of its hires", months.p50 / scan.p50, judged ? 1.5 : null, detail(months.p50)));
}
