/** Tests that belong together, side by side: as found, and as left after it, reading by reading. */
import { masterZone, supplyZone, type Zone } from "@hangrail/rules/bench-readings";
import type { Outputs } from "../../../../../trpc/types.ts";

export type KeptTest = Outputs["benchTests"]["past"]["tests"][number];
export type KeptReading = KeptTest["readings"][number];
export type KeptPart = KeptTest["parts"][number];

/** Tests in the order they were done. A group ends with a test as left that passed, or before the next one as found. */
export type Round = readonly KeptTest[];

/** The newest round first, from tests the newest first. */
export function roundsOf(tests: readonly KeptTest[]): readonly Round[] {
  const rounds: KeptTest[][] = [];
  for (const test of tests.toReversed()) {
    const last = rounds.at(-1);
    const ended = last === undefined || test.phase === "as-found" || (last.at(-1)?.phase === "as-left" && last.at(-1)?.verdict === "pass");
    if (ended) rounds.push([test]);
    else last.push(test);
  }
  return rounds.toReversed();
}

/** One reading of one component, in each test of a round; several where it was read more than once. */
export interface ComparedLine {
  readonly name: KeptReading["name"];
  readonly zone: Zone | null;
  readonly cells: readonly (readonly KeptReading[])[];
}

export interface ComparedPart {
  readonly part: KeptPart;
  readonly lines: readonly ComparedLine[];
}

export function compared(round: Round): readonly ComparedPart[] {
  const parts = new Map(round.flatMap((test) => test.parts).map((part) => [part.component, part]));
  return [...parts.values()].map((part) => {
    const keys = new Map<string, { name: KeptReading["name"]; zone: Zone | null }>();
    for (const test of round) {
      for (const reading of test.readings) if (reading.component === part.component) keys.set(`${reading.name} ${zoneOf(reading) ?? ""}`, { name: reading.name, zone: zoneOf(reading) });
    }
    const lines = [...keys.values()].map(({ name, zone }) => ({
      name,
      zone,
      cells: round.map((test) => test.readings.filter((one) => one.component === part.component && one.name === name && zoneOf(one) === zone)),
    }));
    return { part, lines };
  });
}

export function zoneOf({ name, supplyCbar, atCbar }: Pick<KeptReading, "name" | "supplyCbar" | "atCbar">): Zone | null {
  return name === "intermediate-pressure" ? supplyZone(supplyCbar) : name === "gauge-error" ? masterZone(atCbar) : null;
}
