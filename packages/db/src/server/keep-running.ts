import { setTimeout as wait } from "node:timers/promises";
import type { Address } from "./address.ts";
import { leaveBehind, lostItsSocket, stopPostmaster, type Postmaster } from "./postmaster.ts";

export interface Watch {
  /** The server as it is now; another process after a restart, at the same address. */
  current(): Postmaster;
  /** Ends the watch and the server. */
  stop(): Promise<void>;
}

const watchMs = 500;
const longestPauseMs = 5_000;

/**
 * Watches the server and starts it again whenever it ends or loses its socket, for as long as it
 * takes: a full disk may need its time to be cleared. A process that leaves without `stop` still
 * tells the server to end.
 */
export function keepRunning(first: Postmaster, start: (address: Address) => Promise<Postmaster>, say: (sentence: string) => void): Watch {
  const stopping = new AbortController();
  // Keeps this process alive as a child process would; a server that was taken over is none.
  const pause = (ms: number) => wait(ms, undefined, { signal: stopping.signal }).catch(() => undefined);
  let server = first;

  async function watch(): Promise<void> {
    while (!stopping.signal.aborted) {
      await pause(watchMs);
      const ended = server.hasEnded();
      if (stopping.signal.aborted || (!ended && !lostItsSocket(server))) continue;
      say(ended ? "The database ended unexpectedly; starting it again." : "The database's socket was removed; starting it again.");
      if (!ended) await stopPostmaster(server);
      await revive();
    }
  }

  async function revive(): Promise<void> {
    let told = "";
    for (let ms = watchMs; !stopping.signal.aborted; ms = Math.min(ms * 2, longestPauseMs)) {
      try {
        server = await start(server.address);
        say("The database runs again.");
        return;
      } catch (error) {
        const sentence = error instanceof Error ? error.message : String(error);
        if (sentence !== told) say(sentence);
        told = sentence;
        await pause(ms);
      }
    }
  }

  const leave = () => leaveBehind(server);
  process.once("exit", leave);
  const watching = watch();

  return {
    current: () => server,
    async stop() {
      stopping.abort();
      await stopPostmaster(server);
      // A restart that was under way when the stop came has finished by now; its server is ended as well.
      await watching;
      await stopPostmaster(server);
      process.off("exit", leave);
    },
  };
}
