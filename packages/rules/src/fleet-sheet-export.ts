/**
 * Writes parts as the sheet that `judgeFleetSheet` reads. Judged against the same record, every row is
 * already here.
 */
import type { FleetFacts } from "./fleet-sheet-parts.ts";
import { FLEET_COLUMNS } from "./sheet-columns.ts";
import type { FleetColumn } from "./sheet-columns.ts";
import { SPARE } from "./sheet-places.ts";

/** A cell to be written: text, a number, or nothing. */
export type SheetValue = string | number | null;

export interface WrittenSheet {
  readonly header: readonly string[];
  readonly rows: readonly (readonly SheetValue[])[];
}

/**
 * Hours with at most two decimals. A hundredth of an hour is 0.6 minutes, so reading them back to the
 * nearest minute is exact; three decimals would look like thousands.
 */
function hours(minutes: number | null): number | null {
  return minutes === null ? null : Math.round((minutes * 100) / 60) / 100;
}

const VALUES: Readonly<Record<FleetColumn, (part: FleetFacts) => SheetValue>> = {
  tag: (part) => part.tag ?? SPARE,
  position: (part) => part.role.replace("-", " "),
  maker: (part) => part.maker,
  model: (part) => part.model,
  serial: (part) => part.serial,
  boughtOn: (part) => part.boughtOn,
  inUseOn: (part) => part.inUseOn,
  lastUsedOn: (part) => part.lastUsedOn,
  servicedOn: (part) => part.servicedOn,
  inspectedOn: (part) => part.inspectedOn,
  divesSinceService: (part) => part.divesSinceService,
  hoursSinceService: (part) => hours(part.minutesSinceService),
  divesSinceInspection: (part) => part.divesSinceInspection,
  hoursSinceInspection: (part) => hours(part.minutesSinceInspection),
  totalDives: (part) => part.totalDives,
  note: (part) => part.note,
};

/** The sheet of these parts, in their order. Days are written as 2026-03-05, hours with a decimal point. */
export function fleetSheetOf(parts: readonly FleetFacts[]): WrittenSheet {
  return {
    header: FLEET_COLUMNS.map((column) => column.title),
    rows: parts.map((part) => FLEET_COLUMNS.map((column) => VALUES[column.name](part))),
  };
}

/** A written sheet as the text of its cells, the way it is read back. */
export function cellsOf(sheet: WrittenSheet): { readonly header: readonly string[]; readonly rows: readonly (readonly string[])[] } {
  return { header: sheet.header, rows: sheet.rows.map((row) => row.map((value) => (value === null ? "" : String(value)))) };
}
