import { kitRoom } from "@hangrail/api/kit-room";
import { calendarFor } from "@hangrail/api/plan-calendar";

type Params = { params: Promise<{ token: string }> };

/** The accepted plan for a calendar program. The address is the key: nobody is signed in here, and no cookie is looked at. */
export async function GET(_request: Request, { params }: Params): Promise<Response> {
  const found = await calendarFor(kitRoom().db, (await params).token);
  if (found.answer === "too-many-tries") return new Response("Too many wrong addresses were tried. Please try again later.", { status: 429, headers: closed });
  if (found.answer === "none") return new Response("There is no such calendar.", { status: 404, headers: closed });
  return new Response(found.text, { headers: { ...closed, "content-type": "text/calendar; charset=utf-8", "content-disposition": 'inline; filename="bench-plan.ics"' } });
}

/** Kept by nobody on the way, told to no other site, and taken for nothing but what it is called. */
const closed = { "cache-control": "private, no-store", "referrer-policy": "no-referrer", "x-content-type-options": "nosniff", "content-type": "text/plain; charset=utf-8" };

export const dynamic = "force-dynamic";
