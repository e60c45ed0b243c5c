"use client";
import { useSyncExternalStore } from "react";

/**
 * Whether this screen still hears the server. "connecting" is only said before it heard
 * for the first time: a page that has just been loaded has not lost anything.
 */
export type Connection = "connecting" | "live" | "lost";

let streamed: Connection = "connecting";
const listeners = new Set<() => void>();

/** Told by the live stream, and by nobody else. */
export function tellConnection(hears: boolean): void {
  const next = hears ? "live" : streamed === "connecting" ? "connecting" : "lost";
  if (next === streamed) return;
  streamed = next;
  for (const listener of listeners) listener();
}

/** The connection as it stands; the browser's own word that it is off line comes first. */
export function useConnection(): Connection {
  return useSyncExternalStore(subscribe, now, () => "connecting");
}

function now(): Connection {
  return navigator.onLine ? streamed : "lost";
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  window.addEventListener("online", listener);
  window.addEventListener("offline", listener);
  return () => {
    listeners.delete(listener);
    window.removeEventListener("online", listener);
    window.removeEventListener("offline", listener);
  };
}
