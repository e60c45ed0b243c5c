import { createContext } from "@hangrail/api/context";
import { appRouter } from "@hangrail/api/router";
import { fetchRequestHandler } from "@trpc/server/adapters/fetch";
import { maximumBatch, readBody, refuseAtDoor, tooLarge, type DoorRefusal } from "../../../../door.ts";

/** The HTTP door of every call. Beside it lie only what is no call of its own: photographs, the search told line by line, calendars, health. */
async function answer(request: Request): Promise<Response> {
  const refusal = refuseAtDoor(request, process.env["HANGRAIL_ORIGIN"] ?? null);
  if (refusal !== null) return refused(refusal);

  let counted = request;
  if (request.method === "POST") {
    const body = await readBody(request.body);
    if (body === null) return refused(tooLarge);
    counted = new Request(request.url, { method: "POST", headers: request.headers, body, signal: request.signal });
  }

  return fetchRequestHandler({
    endpoint: "/api/trpc",
    req: counted,
    router: appRouter,
    createContext: ({ req, resHeaders }) => createContext({ req, resHeaders }),
    maxBatchSize: maximumBatch,
    responseMeta: () => ({ headers: { "cache-control": "no-store" } }),
  });
}

function refused({ status, sentence }: DoorRefusal): Response {
  return Response.json({ error: { message: sentence } }, { status, headers: { "cache-control": "no-store" } });
}

export { answer as GET, answer as POST };

/** Sessions, days and the database are read per call: nothing here may be made at build time. */
export const dynamic = "force-dynamic";
