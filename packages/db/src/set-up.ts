import pg from "pg";
import { connectionConfig } from "./connect.ts";

/** Whether anybody can sign in yet; a centre without staff shows its first-run page. */
export async function hasStaff(url: string): Promise<boolean> {
  const client = new pg.Client(connectionConfig(url, "hangrail set-up"));
  await client.connect();
  try {
    const answer = await client.query<{ any: boolean }>("SELECT EXISTS (SELECT FROM staff) AS any");
    return answer.rows[0]?.any ?? false;
  } finally {
    await client.end();
  }
}
