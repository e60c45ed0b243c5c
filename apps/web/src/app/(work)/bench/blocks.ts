/** Sorts what the bench has to look at into blocks, by what has to be done with it first. */
import type { Outputs } from "../../../trpc/types.ts";

/** As every procedure shows a set. */
export type ShownSet = Pick<Outputs["sets"]["outOfService"]["rows"][number], "setId" | "tag" | "state" | "holds" | "due" | "parts" | "openFaults">;
type HoldCode = ShownSet["holds"][number]["code"];

const dueCodes: ReadonlySet<HoldCode> = new Set<HoldCode>(["service-overdue", "inspection-overdue", "first-inspection", "shelf-inspection"]);
/** What neither the bench's work nor its release can take away. */
const notTheBench: ReadonlySet<HoldCode> = new Set<HoldCode>(["not-clean", "out"]);

export type Blocks<Row extends ShownSet> = {
  /** With an open fault that holds, or under evidence lock. */
  taggedOut: readonly Row[];
  /** Work is overdue, or never done; the longest overdue first. */
  dueWork: readonly Row[];
  toRelease: readonly Row[];
  /** Held by something else: a notice, a missing part, a pairing, limits not recorded. */
  otherwiseHeld: readonly Row[];
};

/** Each set in the one block where its next step stands; sets that only wait for the wash are left out. */
export function blocksOf<Row extends ShownSet>(rows: readonly Row[]): Blocks<Row> {
  const blocks = { taggedOut: [] as Row[], dueWork: [] as Row[], toRelease: [] as Row[], otherwiseHeld: [] as Row[] };
  for (const row of new Map(rows.map((one) => [one.setId, one])).values()) {
    const codes = row.holds.map((hold) => hold.code);
    if (codes.includes("retired")) continue;
    if (codes.includes("evidence-lock") || codes.includes("fault")) blocks.taggedOut.push(row);
    else if (codes.some((code) => dueCodes.has(code))) blocks.dueWork.push(row);
    else if (codes.includes("not-released")) blocks.toRelease.push(row);
    else if (codes.some((code) => !notTheBench.has(code))) blocks.otherwiseHeld.push(row);
  }
  blocks.dueWork.sort((a, b) => (dueDay(a) < dueDay(b) ? -1 : dueDay(a) > dueDay(b) ? 1 : a.tag.localeCompare(b.tag)));
  return blocks;
}

/** The day of the earliest limit; sets without one come last. */
function dueDay(set: ShownSet): string {
  return set.due.dueOn?.value ?? "9999-12-31";
}

/** Holds that a release would leave standing, so that something else comes first. */
export function beforeRelease(set: ShownSet): ShownSet["holds"] {
  return set.holds.filter((hold) => hold.code !== "not-released" && !notTheBench.has(hold.code));
}

const soonDays = 30;
const soonDives = 10;

/** Sets in date whose limits end within a month or ten dives. */
export function soonDue<Row extends ShownSet>(rows: readonly Row[], today: string): readonly Row[] {
  const limit = new Date(Date.parse(`${today}T00:00:00Z`) + soonDays * 86_400_000).toISOString().slice(0, 10);
  const distinct = [...new Map(rows.map((one) => [one.setId, one])).values()];
  return distinct.filter(({ due }) => due.state === "in-date" && ((due.dueOn !== null && due.dueOn.value <= limit) || (due.divesLeft !== null && due.divesLeft.value <= soonDives)));
}
