import { PrismaPg } from "@prisma/adapter-pg";
import type pg from "pg";
import { appPool, type DatabaseSettings } from "./connect.ts";
import { PrismaClient } from "./generated/client.ts";

/** Everything one process needs of the database, as the application's role. */
export interface Database {
  /** For acts alone: a slow read never keeps a hand-out waiting. */
  readonly acts: pg.Pool;
  readonly reads: pg.Pool;
  /** Named reads by the schema; on the `reads` pool. */
  readonly prisma: PrismaClient;
  /** For imports, which may take a minute. */
  readonly longJobs: pg.Pool;
  readonly url: string;
  close(): Promise<void>;
}

const LONG_JOB_MS = 120_000;

/** Opens the pools. Nothing connects until the first question is asked. */
export function openDatabase(settings: Pick<DatabaseSettings, "appUrl" | "actConnections" | "readConnections">): Database {
  const acts = appPool(settings.appUrl, { connections: settings.actConnections, name: "hangrail acts" });
  const reads = appPool(settings.appUrl, { connections: settings.readConnections, name: "hangrail reads" });
  const longJobs = appPool(settings.appUrl, { connections: 2, name: "hangrail long jobs" });
  const prisma = new PrismaClient({ adapter: new PrismaPg(reads) });
  return {
    acts,
    reads,
    prisma,
    longJobs,
    url: settings.appUrl,
    async close() {
      await prisma.$disconnect();
      await Promise.all([acts, reads, longJobs].map((pool) => (pool.ended ? undefined : pool.end())));
    },
  };
}

/** One statement on a connection whose limits are raised to two minutes. */
export async function longQuery<Row extends pg.QueryResultRow>(db: Database, text: string, values: unknown[]): Promise<Row[]> {
  const client = await db.longJobs.connect();
  try {
    await client.query(`SET statement_timeout = ${LONG_JOB_MS}`);
    await client.query(`SELECT set_config(name, '${LONG_JOB_MS}', false) FROM pg_settings WHERE name = 'transaction_timeout'`);
    const asked: pg.QueryConfig & { query_timeout: number } = { text, values, query_timeout: LONG_JOB_MS };
    const { rows } = await client.query<Row>(asked);
    return rows;
  } finally {
    client.release();
  }
}
