import { isTRPCClientError, type TRPCClient } from "@trpc/client";
import type { AppRouter } from "@hangrail/api/router";
import type { Scan } from "./scans.ts";
import { sendAll, type Sending, type Sent } from "./send.ts";
import { scanStore } from "./store.ts";

let before: Promise<unknown> = Promise.resolve();

/** Sends what this tablet keeps for the site. One sending at a time, over all its tabs where the browser can see to that. */
export function sendKept(client: TRPCClient<AppRouter>, siteId: string): Promise<Sending> {
  const send = () => sendAll(scanStore, siteId, (scan) => sendOne(client, scan));
  const sending = before.then(() => ("locks" in navigator ? navigator.locks.request("hangrail-wash-room", send) : send()));
  before = sending.catch(() => undefined);
  return sending;
}

async function sendOne(client: TRPCClient<AppRouter>, { requestId, setId, after, scannedAt, says }: Scan): Promise<Sent> {
  const scan = says.step === "in" ? { step: says.step, bathId: says.bathId } : says;
  try {
    return await client.washRoom.enterLate.mutate({ requestId, setId, after, scannedAt, scan });
  } catch (error) {
    return whyLater(error);
  }
}

/** An answer that is no answer of the act: only what can never be read counts as refused, all else is tried again. */
function whyLater(error: unknown): Sent {
  const data: unknown = isTRPCClientError(error) ? error.data : null;
  const status = typeof data === "object" && data !== null && "httpStatus" in data ? data.httpStatus : null;
  switch (status) {
    case null:
      return { answer: "later", why: "network" };
    case 401:
      return { answer: "later", why: "sign-in" };
    case 403:
      return { answer: "later", why: "not-yours" };
    case 400:
      return { answer: "refused", reasons: [] };
    default:
      return { answer: "later", why: "server" };
  }
}
