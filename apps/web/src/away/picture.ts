/** What a tablet remembers of the wash room for the time without a network: tags, baths and runs, and nobody's name. */
import type { Outputs } from "../trpc/types.ts";

type Queue = Outputs["washRoom"]["queue"];

/** A set as it was last seen: `seq` is the number of acts it had lived through. */
export type SeenSet = { readonly setId: string; readonly tag: string; readonly seq: number };
export type SeenBath = { readonly id: string; readonly label: string; readonly expiresAt: string; readonly expired: boolean };
export type SeenRun = { readonly bath: string; readonly isWet: boolean; readonly sets: readonly SeenSet[] };

export interface Picture {
  readonly siteId: string;
  readonly timeZone: string;
  /** What the server's clock said when it was asked. */
  readonly at: string;
  readonly toClean: readonly SeenSet[];
  readonly runs: readonly SeenRun[];
  readonly baths: readonly SeenBath[];
}

/** Copies field by field: what the server adds to its answer one day is not kept by accident. */
export function pictureOf(queue: Queue, site: { readonly id: string; readonly timeZone: string }): Picture {
  const seen = ({ setId, tag, seq }: SeenSet): SeenSet => ({ setId, tag, seq });
  return {
    siteId: site.id,
    timeZone: site.timeZone,
    at: queue.now,
    toClean: queue.toClean.map(seen),
    runs: queue.runs.map((run) => ({ bath: run.bath, isWet: run.wetEndedAt === null, sets: run.sets.map(seen) })),
    baths: queue.baths.map(({ id, label, expiresAt, expired }) => ({ id, label, expiresAt, expired })),
  };
}
