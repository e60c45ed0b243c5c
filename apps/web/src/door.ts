/**
 * What the one HTTP door asks of a call before any procedure sees it.
 *
 * Browsers let another site's page send simple posts with our cookies. A post of
 * JSON is not simple, and Origin and Sec-Fetch-Site cannot be set by a page, so the
 * three together keep other sites out. Size and batch limits keep one call small.
 */
export type DoorRefusal = { status: 400 | 403 | 405 | 413 | 415; sentence: string };

export const maximumBodyBytes = 8 * 1024 * 1024;
export const maximumBatch = 10;

const prefix = "/api/trpc/";

/**
 * The refusal for this call, or null when it may come in. Looks at the head only, not at the body.
 *
 * @param publicOrigin  the address people use, where a proxy in front of us ends TLS or renames the host
 */
export function refuseAtDoor(request: Request, publicOrigin: string | null = null): DoorRefusal | null {
  return refuseMethod(request) ?? refuseStranger(request, publicOrigin) ?? refuseBody(request) ?? refuseBatch(request);
}

function refuseMethod(request: Request): DoorRefusal | null {
  if (request.method === "GET" || request.method === "POST") return null;
  return { status: 405, sentence: "Only GET (to read) and POST (to act) are answered here." };
}

function refuseStranger(request: Request, publicOrigin: string | null): DoorRefusal | null {
  const from = request.headers.get("sec-fetch-site");
  if (from !== null && from !== "same-origin" && from !== "none") {
    return { status: 403, sentence: "Calls from another site's page are not answered." };
  }
  const origin = request.headers.get("origin");
  if (origin !== null && hostOf(origin) !== ownHost(request, publicOrigin)) {
    return { status: 403, sentence: "Calls from another origin are not answered." };
  }
  return null;
}

function refuseBody(request: Request): DoorRefusal | null {
  if (request.method !== "POST") return null;
  const type = request.headers.get("content-type")?.split(";")[0]?.trim().toLowerCase();
  if (type !== "application/json") return { status: 415, sentence: "An act is sent as application/json." };
  const length = request.headers.get("content-length");
  if (length === null) return null; // counted while it is read
  if (!/^\d+$/.test(length)) return { status: 400, sentence: "Content-Length is not a whole number." };
  return Number(length) > maximumBodyBytes ? tooLarge : null;
}

function refuseBatch(request: Request): DoorRefusal | null {
  const url = new URL(request.url);
  if (!url.searchParams.has("batch")) return null;
  const path = decoded(url.pathname.slice(prefix.length));
  if (path === null) return { status: 400, sentence: "The address is not readable." };
  if (path.split(",").length <= maximumBatch) return null;
  return { status: 400, sentence: `At most ${maximumBatch} calls are answered in one request.` };
}

/** The body was larger than the door lets in. */
export const tooLarge: DoorRefusal = { status: 413, sentence: "This is larger than 8 MB. Send it in parts." };

/**
 * Reads a body of at most `limit` bytes; null when there is more. A sender that
 * gives no length, or a false one, is stopped at the limit and not read further.
 */
export async function readBody(body: ReadableStream<Uint8Array> | null, limit = maximumBodyBytes): Promise<Uint8Array<ArrayBuffer> | null> {
  if (body === null) return new Uint8Array();
  const parts: Uint8Array[] = [];
  let size = 0;
  const reader = body.getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    size += value.byteLength;
    if (size > limit) {
      await reader.cancel();
      return null;
    }
    parts.push(value);
  }
  const whole = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.byteLength;
  }
  return whole;
}

function ownHost(request: Request, publicOrigin: string | null): string {
  if (publicOrigin !== null) return hostOf(publicOrigin);
  return request.headers.get("host")?.toLowerCase() ?? new URL(request.url).host;
}

/** Host with port of an origin; "" for "null" and for what is no origin, which equals no host. */
function hostOf(origin: string): string {
  return URL.canParse(origin) ? new URL(origin).host : "";
}

function decoded(path: string): string | null {
  try {
    return decodeURIComponent(path);
  } catch {
    return null;
  }
}
