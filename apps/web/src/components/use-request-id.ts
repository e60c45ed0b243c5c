"use client";
import { useCallback, useState } from "react";

/**
 * The number of one intended act, made when its form opens and kept until the act is
 * recorded: pressed twice, or again after a lost answer, it is recorded once.
 */
export function useRequestId(): { requestId: string; renew: () => void } {
  const [requestId, setRequestId] = useState(newRequestId);
  const renew = useCallback(() => setRequestId(newRequestId()), []);
  return { requestId, renew };
}

/** A random UUID. `crypto.randomUUID` is not there on plain http, as on a tablet in the shop's own network. */
export function newRequestId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
