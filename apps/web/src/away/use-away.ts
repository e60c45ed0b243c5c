"use client";
import { useEffect, useState } from "react";
import type { Picture } from "./picture.ts";
import type { Scan } from "./scans.ts";
import { loadPicture, onChange, scanStore } from "./store.ts";

/** What the tablet keeps, as it stands. "failed": it cannot keep anything, as in a private window. */
export type Kept = { readonly picture: Picture | null; readonly scans: readonly Scan[] };

/** What the tablet keeps, read again whenever it changes; undefined until it was read. */
export function useKept(): Kept | "failed" | undefined {
  const [kept, setKept] = useState<Kept | "failed">();
  useEffect(() => {
    let newest = 0;
    const read = async () => {
      newest += 1;
      const mine = newest;
      const found = await Promise.all([loadPicture(), scanStore.all()]).then(([picture, scans]): Kept => ({ picture, scans }), () => "failed" as const);
      if (mine === newest) setKept(found);
    };
    void read();
    const stop = onChange(() => void read());
    return () => {
      newest = -1;
      stop();
    };
  }, []);
  return kept;
}
