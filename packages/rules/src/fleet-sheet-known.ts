/**
 * Holds the rows of a sheet against what is recorded.
 *
 * A sheet brings in what is new and repeats what is known. It never changes what is recorded:
 * a correction is a further entry, made by the person who knows why, and a part is fitted at the bench.
 */
import { groupedBy, partKey, placeKey, samePart } from "./fleet-sheet-parts.ts";
import type { FleetFacts, FleetRow, HistoryFacts, HistoryRow, KnownPart } from "./fleet-sheet-parts.ts";
import type { FleetColumn, HistoryColumn } from "./sheet-columns.ts";
import type { OpenSheet } from "./sheet-rows.ts";
import { shown } from "./sheet-report.ts";
import { folded, tidy } from "./sheet-text.ts";

/** The facts of a sheet's row, each with its column and its name in a sentence. */
const FACTS: readonly (readonly [keyof FleetFacts, FleetColumn, string])[] = [
  ["tag", "tag", "the set"],
  ["role", "position", "the position"],
  ["maker", "maker", "the maker"],
  ["model", "model", "the model"],
  ["serial", "serial", "the serial number"],
  ["boughtOn", "boughtOn", "the day bought"],
  ["inUseOn", "inUseOn", "the first day in use"],
  ["lastUsedOn", "lastUsedOn", "the day last used"],
  ["servicedOn", "servicedOn", "the day serviced"],
  ["inspectedOn", "inspectedOn", "the day inspected"],
  ["divesSinceService", "divesSinceService", "dives since service"],
  ["minutesSinceService", "hoursSinceService", "minutes since service"],
  ["divesSinceInspection", "divesSinceInspection", "dives since inspection"],
  ["minutesSinceInspection", "hoursSinceInspection", "minutes since inspection"],
  ["totalDives", "totalDives", "dives in all"],
  ["note", "note", "the note"],
];

type Fact = string | number | null;

function sameFact(name: keyof FleetFacts, row: Fact, recorded: Fact): boolean {
  // A blank says nothing, so it contradicts nothing. A spare is no blank: it says "in no set".
  if (row === null) return name !== "tag" || recorded === null;
  if (recorded === null || typeof row === "number" || typeof recorded === "number") return row === recorded;
  if (name === "note") return tidy(row) === tidy(recorded);
  return name === "serial" ? folded(row).replace(/ /g, "") === folded(recorded).replace(/ /g, "") : folded(row) === folded(recorded);
}

const differing = (row: FleetFacts, recorded: FleetFacts): typeof FACTS => FACTS.filter(([name]) => !sameFact(name, row[name], recorded[name]));

function agrees(row: FleetFacts, part: KnownPart): boolean {
  return differing(row, part).length === 0 || (part.imported != null && differing(row, part.imported).length === 0);
}

export interface AgainstRecord {
  readonly fresh: readonly FleetRow[];
  readonly alreadyHere: readonly FleetRow[];
}

/** Divides rows into new ones and repeats; what contradicts the record is reported on the sheet. */
export function againstRecord(
  open: OpenSheet<FleetColumn>,
  rows: readonly FleetRow[],
  parts: readonly KnownPart[],
  tags: ReadonlySet<string>,
): AgainstRecord {
  const bySerial = groupedBy(parts.filter((part) => part.serial !== null), (part) => partKey(part.maker, part.serial ?? ""));
  const byPlace = groupedBy(parts.filter((part) => part.serial === null).flatMap(placesOf), (place) => place.key);
  const taken = new Set<KnownPart>();
  const fresh: FleetRow[] = [];
  const alreadyHere: FleetRow[] = [];

  for (const row of rows) {
    const candidates = row.serial !== null
      ? (bySerial.get(partKey(row.maker, row.serial)) ?? []).filter((part) => samePart(row, part))
      : (byPlace.get(placeKey(row)) ?? []).map((place) => place.part).filter((part) => !taken.has(part));
    const agreeing = candidates.find((part) => agrees(row, part));
    const other = candidates[0];
    if (agreeing) {
      taken.add(agreeing);
      alreadyHere.push(row);
    } else if (other) reportDifferences(open, row, other);
    else if (row.tag !== null && tags.has(row.tag)) {
      open.refuse("set-recorded", row.row, "tag", `set ${row.tag} is recorded already, without this part. A part is fitted to a recorded set at the bench, not by an import.`);
    } else fresh.push(row);
  }
  return { fresh, alreadyHere };
}

/** A part without a serial number is found where it is and where its import put it. */
function placesOf(part: KnownPart): { key: string; part: KnownPart }[] {
  const keys = new Set([placeKey(part), ...(part.imported ? [placeKey(part.imported)] : [])]);
  return [...keys].map((key) => ({ key, part }));
}

function reportDifferences(open: OpenSheet<FleetColumn>, row: FleetRow, part: KnownPart): void {
  for (const [name, column, says] of differing(row, part)) {
    open.refuse("differs-from-record", row.row, column, `this part is recorded already, and ${says} differs: recorded is ${written(part[name])}, the sheet says ${written(row[name])}. Correct the record by a further entry, or correct the sheet.`);
  }
}

const written = (fact: Fact): string => (fact === null ? "nothing" : shown(String(fact)));

/** What tells one piece of work from another: the part, the day and the kind. */
export function workKey(work: HistoryFacts): string {
  return [partKey(work.maker, work.serial), work.doneOn, work.work].join("\u0000");
}

const WORK_FACTS: readonly (readonly [keyof HistoryFacts, HistoryColumn, string])[] = [
  ["divesAt", "divesAt", "the dives at that work"],
  ["by", "by", "who did it"],
  ["note", "note", "the note"],
];

/** Whether a row of past work is new, a repeat, or contradicts the record (then it is reported). */
export function workAgainstRecord(open: OpenSheet<HistoryColumn>, row: HistoryRow, recorded: HistoryFacts | undefined): "new" | "here" | "differs" {
  if (!recorded) return "new";
  const differ = WORK_FACTS.filter(([name]) => {
    const [says, known] = [row[name], recorded[name]];
    if (says === null || known === null) return says !== null;
    return name === "divesAt" ? says !== known : folded(String(says)) !== folded(String(known));
  });
  for (const [name, column, says] of differ) {
    open.refuse("differs-from-record", row.row, column, `this work is recorded already, and ${says} differs: recorded is ${written(recorded[name])}, the sheet says ${written(row[name])}. Correct the record by a further entry, or correct the sheet.`);
  }
  return differ.length === 0 ? "here" : "differs";
}
