import { createContext } from "@hangrail/api/context";
import { photoFor } from "@hangrail/api/faults";
import { refuseAtDoor } from "../../../../door.ts";

type Params = { params: Promise<{ id: string }> };

/** A photograph of a fault, for whoever is signed in at the site of its set. To everybody else there is none. */
export async function GET(request: Request, { params }: Params): Promise<Response> {
  const refusal = refuseAtDoor(request, process.env["HANGRAIL_ORIGIN"] ?? null);
  if (refusal !== null) return new Response(refusal.sentence, { status: refusal.status, headers: closed });
  const context = await createContext({ req: request, resHeaders: new Headers() });
  const photo = await photoFor(context, (await params).id);
  if (photo === null) return new Response("There is no such photograph here.", { status: 404, headers: closed });
  return new Response(new Uint8Array(photo.bytes), {
    headers: { ...closed, "content-type": photo.mediaType, "content-length": String(photo.bytes.length), "content-disposition": "inline" },
  });
}

/** Kept by nobody on the way, and taken for nothing but what it is called. */
const closed = { "cache-control": "private, no-store", "x-content-type-options": "nosniff", "content-type": "text/plain; charset=utf-8" };

export const dynamic = "force-dynamic";
