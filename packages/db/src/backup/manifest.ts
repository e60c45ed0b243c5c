/** What a backup says of itself: when it was taken, of which schema, and what each part must hold. */
import { text as readText } from "node:stream/consumers";
import type { SchemaStep } from "../migrate.ts";
import { OperatorError } from "../operator-error.ts";
import { MANIFEST, readPart, requirePart, type Archive } from "./archive.ts";

export interface TableManifest {
  readonly table: string;
  /** The part of the file that holds its rows. */
  readonly part: string;
  readonly columns: readonly string[];
  readonly rows: number;
  readonly sha256: string;
  readonly bytes: number;
}

/** Where a column that numbers itself goes on. Numbers as text: they may be larger than JavaScript counts. */
export interface CounterManifest {
  readonly table: string;
  readonly column: string;
  readonly last: string;
  readonly used: boolean;
}

export interface Manifest {
  readonly format: 1;
  /** The moment that all rows show, by the database's clock. */
  readonly takenAt: string;
  readonly postgres: string;
  /** Every step of the schema with the checksum that Prisma keeps. */
  readonly schema: readonly SchemaStep[];
  readonly tables: readonly TableManifest[];
  readonly counters: readonly CounterManifest[];
}

/** The manifest of an opened backup: its seal was right, so it says what was written there. */
export async function readManifest(archive: Archive): Promise<Manifest> {
  const said = JSON.parse(await readText(readPart(archive, MANIFEST))) as Manifest;
  if (said.format !== 1) throw new OperatorError(`The backup ${archive.path} was made by a newer Hangrail. Update this one; nothing was changed.`);
  for (const { part } of said.tables) requirePart(archive, part);
  return said;
}
