import { healthOf } from "@hangrail/api/health";
import { kitRoom } from "@hangrail/api/kit-room";

/** For whatever watches over the server: 200 while it can work, 503 while it cannot. No session is asked for, and nothing of the centre is told. */
export async function GET(): Promise<Response> {
  const health = await healthOf(kitRoom());
  return Response.json({ health }, { status: health === "database-away" ? 503 : 200, headers: { "cache-control": "no-store" } });
}

export const dynamic = "force-dynamic";
