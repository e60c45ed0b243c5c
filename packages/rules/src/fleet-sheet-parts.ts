/** What a sheet says of one part, and when two rows speak of the same part. */
import type { Day } from "./calendar.ts";
import type { Work } from "./due-dates.ts";
import type { Dives, Minutes } from "./measures.ts";
import type { Role } from "./models.ts";
import { folded } from "./sheet-text.ts";

/** Everything a sheet can say of a part. null = the sheet does not say; never nought. */
export interface FleetFacts {
  /** Tag of its set; null = a spare, in no set. */
  readonly tag: string | null;
  /** A spare second stage is given as "primary": on the shelf it is neither. */
  readonly role: Role;
  readonly maker: string;
  readonly model: string;
  readonly serial: string | null;
  readonly boughtOn: Day | null;
  readonly inUseOn: Day | null;
  readonly lastUsedOn: Day | null;
  readonly servicedOn: Day | null;
  readonly inspectedOn: Day | null;
  readonly divesSinceService: Dives | null;
  readonly minutesSinceService: Minutes | null;
  readonly divesSinceInspection: Dives | null;
  readonly minutesSinceInspection: Minutes | null;
  readonly totalDives: Dives | null;
  readonly note: string | null;
}

/** Facts with the row they came from, as the spreadsheet shows it. */
export interface FleetRow extends FleetFacts {
  readonly row: number;
}

/**
 * A part that is recorded already: as it stands now and, where it came by an import, as that import
 * said. A sheet that agrees with either is a repeat and changes nothing.
 */
export interface KnownPart extends FleetFacts {
  readonly imported?: FleetFacts | null;
}

/** One piece of past work. */
export interface HistoryFacts {
  readonly maker: string;
  readonly serial: string;
  readonly doneOn: Day;
  readonly work: Work;
  /** The part's dives in all at that work; null = not said. */
  readonly divesAt: Dives | null;
  readonly by: string | null;
  readonly note: string | null;
}

export interface HistoryRow extends HistoryFacts {
  readonly row: number;
}

/** Maker and serial as they are compared: without case and gaps, since both are copied by hand. */
export function partKey(maker: string, serial: string): string {
  return `${folded(maker).replace(/ /g, "")}\u0000${folded(serial).replace(/ /g, "")}`;
}

/** Where a part without a serial number sits; it is all that tells it from another. */
export function placeKey(facts: FleetFacts): string {
  return [facts.tag ?? "", facts.role, folded(facts.maker), folded(facts.model)].join("\u0000");
}

/**
 * Whether two of the same maker and serial are the same part. Some makers number first and second
 * stages alike, so another model in another position is another part; a retyped model name is not.
 */
export function samePart(a: FleetFacts, b: FleetFacts): boolean {
  return folded(a.model) === folded(b.model) || a.role === b.role;
}

/** Groups by a key, keeping the order. */
export function groupedBy<Item>(items: Iterable<Item>, key: (item: Item) => string): Map<string, Item[]> {
  const groups = new Map<string, Item[]>();
  for (const item of items) {
    const group = groups.get(key(item));
    if (group) group.push(item);
    else groups.set(key(item), [item]);
  }
  return groups;
}
