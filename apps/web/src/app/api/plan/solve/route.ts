import { createContext } from "@hangrail/api/context";
import { solveStream } from "@hangrail/api/plan-stream";
import { readBody, refuseAtDoor, tooLarge } from "../../../../door.ts";

/** The search for a plan, told as it goes. It asks at the same door as every call. */
export async function POST(request: Request): Promise<Response> {
  const refusal = refuseAtDoor(request, process.env["HANGRAIL_ORIGIN"] ?? null);
  if (refusal !== null) return refused(refusal.status, refusal.sentence);
  const body = await readBody(request.body);
  if (body === null) return refused(tooLarge.status, tooLarge.sentence);
  const headers = new Headers({ "content-type": "application/jsonl; charset=utf-8", "cache-control": "no-store" });
  const begun = await solveStream(() => createContext({ req: request, resHeaders: headers }), new TextDecoder().decode(body), request.signal);
  return begun.answer === "refused" ? refused(begun.status, begun.message) : new Response(begun.lines, { headers });
}

function refused(status: number, message: string): Response {
  return Response.json({ error: { message } }, { status, headers: { "cache-control": "no-store" } });
}

export const dynamic = "force-dynamic";
