import { createContext } from "@hangrail/api/context";
import { bundleFor } from "@hangrail/api/record";
import { refuseAtDoor } from "../../../../door.ts";

type Params = { params: Promise<{ tag: string }> };

/** A set's evidence bundle, for a manager of its site. To everybody else there is none. */
export async function GET(request: Request, { params }: Params): Promise<Response> {
  const refusal = refuseAtDoor(request, process.env["HANGRAIL_ORIGIN"] ?? null);
  if (refusal !== null) return new Response(refusal.sentence, { status: refusal.status, headers: closed });
  const context = await createContext({ req: request, resHeaders: new Headers() });
  const bundle = await bundleFor(context, decodeURIComponent((await params).tag));
  if (bundle === null) return new Response("There is no such record here.", { status: 404, headers: closed });
  return new Response(new Uint8Array(bundle.bytes), {
    headers: { ...closed, "content-type": "application/zip", "content-length": String(bundle.bytes.length), "content-disposition": `attachment; filename="${bundle.fileName}"` },
  });
}

/** Kept by nobody on the way, and taken for nothing but what it is called. */
const closed = { "cache-control": "private, no-store", "x-content-type-options": "nosniff", "content-type": "text/plain; charset=utf-8" };

export const dynamic = "force-dynamic";
