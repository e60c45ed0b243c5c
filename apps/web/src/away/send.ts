/** Sends what waits, one scan after the other. Nothing leaves the tablet's store but what the record took or a person put away. */
import type { WashReason } from "../wash-words.ts";
import { nextToSend, type NewScan, type Scan } from "./scans.ts";

export interface ScanStore {
  /** In the order of things. */
  all(): Promise<readonly Scan[]>;
  add(scan: NewScan): Promise<void>;
  remove(nth: number): Promise<void>;
  /** With reasons: refused. With null: to be sent again. */
  mark(nth: number, refused: readonly WashReason[] | null): Promise<void>;
}

/** What became of one scan. "later": it may or may not have arrived, and is sent again under its own number. */
export type Sent = { readonly answer: "done" } | { readonly answer: "refused"; readonly reasons: readonly WashReason[] } | { readonly answer: "later"; readonly why: Later };
export type Later = "network" | "sign-in" | "not-yours" | "server";

export interface Sending {
  readonly recorded: number;
  readonly refused: number;
  /** Why it stopped before the end; null when nothing more can be sent. */
  readonly stopped: Later | null;
}

/** Sends in order until nothing may go any more, or the network, the server or the person's rights end it. */
export async function sendAll(store: ScanStore, siteId: string, send: (scan: Scan) => Promise<Sent>): Promise<Sending> {
  let recorded = 0;
  let refused = 0;
  for (;;) {
    const scan = nextToSend(await store.all(), siteId);
    if (scan === null) return { recorded, refused, stopped: null };
    const sent = await send(scan);
    switch (sent.answer) {
      case "done":
        await store.remove(scan.nth);
        recorded += 1;
        break;
      case "refused":
        await store.mark(scan.nth, sent.reasons);
        refused += 1;
        break;
      case "later":
        return { recorded, refused, stopped: sent.why };
    }
  }
}
