/** One LISTEN connection for the process; every open screen hangs on it. */
import pg from "pg";
import { connectionConfig } from "./connect.ts";

export interface Change {
  readonly site: string;
  readonly act: string;
}

export interface ChangeFeed {
  /** Hears every change from now on; the function returned stops it. `onGap` says that changes may have been missed. */
  hear(listener: (change: Change) => void, onGap: () => void): () => void;
  close(): Promise<void>;
}

const RETRY_MS = 1_000;

/** Listens for changes, and connects again by itself when the connection is lost, telling everybody about the gap. */
export function openChangeFeed(url: string): ChangeFeed {
  const listeners = new Set<{ tell: (change: Change) => void; gap: () => void }>();
  let client: pg.Client | null = null;
  let closed = false;
  let retry: NodeJS.Timeout | undefined;

  const again = (): void => {
    if (closed || retry) return;
    retry = setTimeout(() => {
      retry = undefined;
      void connect();
    }, RETRY_MS);
    retry.unref();
  };

  const connect = async (): Promise<void> => {
    const fresh = new pg.Client(connectionConfig(url, "hangrail live"));
    fresh.on("error", () => undefined);
    fresh.on("end", () => {
      if (client === fresh) client = null;
      again();
    });
    fresh.on("notification", ({ payload }) => {
      if (payload === undefined) return;
      const change = JSON.parse(payload) as Change;
      for (const { tell } of listeners) tell(change);
    });
    try {
      await fresh.connect();
      await fresh.query("LISTEN hangrail");
      if (closed) return void (await fresh.end());
      client = fresh;
      // Whatever happened while nobody listened is caught up by reading afresh.
      for (const { gap } of listeners) gap();
    } catch {
      await fresh.end().catch(() => undefined);
      again();
    }
  };
  void connect();

  return {
    hear(tell, gap) {
      const listener = { tell, gap };
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      closed = true;
      clearTimeout(retry);
      await client?.end();
    },
  };
}
