/** Sorts the sets out of service that stand in no queue of work, by what has to be done with each first. */
import type { Outputs } from "../../../trpc/types.ts";

/** As every procedure shows a set. */
export type ShownSet = Pick<Outputs["sets"]["outOfService"]["rows"][number], "setId" | "tag" | "state" | "holds" | "due" | "parts" | "openFaults">;
type HoldCode = ShownSet["holds"][number]["code"];

/** What a work order is opened for: the queue shows these sets. */
const queued: ReadonlySet<HoldCode> = new Set<HoldCode>(["fault", "notice", "notice-check", "service-overdue", "inspection-overdue", "first-inspection", "shelf-inspection"]);
/** What neither the bench's work nor its release can take away. */
const notTheBench: ReadonlySet<HoldCode> = new Set<HoldCode>(["not-clean", "out", "restored"]);

export type Blocks<Row extends ShownSet> = {
  /** Under evidence lock. */
  sealed: readonly Row[];
  /** Work is done, or none was needed; a signature is missing. */
  toRelease: readonly Row[];
  /** Held by what no work order answers: a missing part, a pairing, limits not recorded. */
  otherwiseHeld: readonly Row[];
};

/** Each set in the one block where its next step stands; sets in the queue, on the bench, or that only wait for the wash are left out. */
export function blocksOf<Row extends ShownSet>(rows: readonly Row[]): Blocks<Row> {
  const blocks = { sealed: [] as Row[], toRelease: [] as Row[], otherwiseHeld: [] as Row[] };
  for (const row of new Map(rows.map((one) => [one.setId, one])).values()) {
    const codes = row.holds.map((hold) => hold.code);
    if (codes.includes("evidence-lock")) blocks.sealed.push(row);
    else if (codes.includes("retired") || isWorkedOn(row) || codes.some((code) => queued.has(code))) continue;
    else if (codes.includes("not-released")) blocks.toRelease.push(row);
    else if (codes.some((code) => !notTheBench.has(code))) blocks.otherwiseHeld.push(row);
  }
  return blocks;
}

function isWorkedOn({ state }: ShownSet): boolean {
  return state === "on-the-bench" || state === "awaiting-parts";
}
