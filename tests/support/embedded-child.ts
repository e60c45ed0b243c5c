// Looks after a server on the folder named on the command line until it is told to stop, or killed.
// Says what happens as one JSON line each.
import { startServer } from "@hangrail/db/server/embedded-server";

const say = (line: object) => process.stdout.write(`${JSON.stringify(line)}\n`);

try {
  const server = await startServer({ folder: process.argv[2] as string });
  process.once("SIGTERM", () => void server.stop().then(() => process.exit(0)));
  say({ started: server.pid(), ownerUrl: server.url("owner") });
} catch (error) {
  say({ refused: (error as Error).message });
}
