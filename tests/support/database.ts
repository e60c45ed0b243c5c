import { inject } from "vitest";
import { databaseFrom, emptyDatabase, type TestDatabase } from "./embedded.ts";
import "./global-database.ts";

export type { TestDatabase } from "./embedded.ts";
export { databaseFrom };

/** A migrated database of this test file's own, made in a twentieth of a second. Nothing needs cleaning up. */
export function freshDatabase(): Promise<TestDatabase> {
  return databaseFrom(inject("databaseServer"));
}

/** A database without any table. */
export function bareDatabase(): Promise<TestDatabase> {
  return emptyDatabase(inject("databaseServer"));
}
