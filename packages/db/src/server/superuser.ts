import pg from "pg";
import { connectionProblem } from "../connect.ts";
import { connectionUrl, type Address } from "./address.ts";
import { roleNames, type Passwords } from "./credentials.ts";

/** A connection as the server's own superuser, for looking after the server itself. The caller ends it. */
export async function signInAsSuperuser(address: Address, passwords: Passwords, database = "postgres"): Promise<pg.Client> {
  const url = connectionUrl(address, roleNames.superuser, passwords.superuser, database);
  const client = new pg.Client({
    connectionString: url,
    application_name: "hangrail supervisor",
    connectionTimeoutMillis: 3_000,
    query_timeout: 30_000,
  });
  // A server that ends under an idle connection is the supervisor's business, not an uncaught error.
  client.on("error", () => undefined);
  await client.connect().catch((error: unknown) => {
    throw connectionProblem(error, url);
  });
  return client;
}
