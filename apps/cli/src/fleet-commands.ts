import { randomUUID } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { basename } from "node:path";
import { recordSheet, writeFleetSheet, type SheetFile } from "@hangrail/api/fleet";
import { openDatabase, type Database } from "@hangrail/db/database";
import type { Who } from "@hangrail/db/acts";
import { OperatorError } from "@hangrail/db/operator-error";
import { findStaffAt } from "@hangrail/db/people";
import { besideDatabase, upToDate } from "./database.ts";
import { say } from "./messages.ts";

export interface FleetOptions {
  data?: string;
  /** Login name of the person on whose word the sheet comes in. */
  as?: string;
  /** Name of the site; may be left out while there is one. */
  site?: string;
  history?: boolean;
  dates?: string;
  decimal?: string;
  "ignore-unknown"?: boolean;
}

const SHOWN = 40;

/** Takes a sheet in, all or nothing, and prints every bad cell and every open question. */
export function importSheet(path: string, options: FleetOptions): Promise<void> {
  return atSite(options, async (db, who) => {
    const sheet: SheetFile = {
      kind: options.history ? "history" : "fleet",
      fileName: basename(path),
      file: read(path).toString("base64"),
      answers: {
        ...(options.dates && { dateOrder: oneOf("--dates", options.dates, ["day-first", "month-first"] as const) }),
        ...(options.decimal && { decimalMark: oneOf("--decimal", options.decimal, ["comma", "point"] as const) }),
        ...(options["ignore-unknown"] && { ignoreUnknown: true }),
      },
    };
    const began = performance.now();
    const result = await recordSheet(db, who, sheet);
    if (result.answer === "done") {
      const seconds = ((performance.now() - began) / 1000).toFixed(1);
      return say(`${result.summary}\nRecorded ${result.newRows} rows (${result.newSets} new sets) in ${seconds} s; ${result.alreadyHere} rows were here already.`);
    }
    if (result.answer === "unreadable") throw new OperatorError(result.sentence);
    if (result.answer === "refused") throw new OperatorError(`The sheet was refused (${result.code}). Nothing was recorded.`);
    if (result.answer === "clash") {
      const rows = result.problems.map(({ row, tag, serial, code }) => `  row ${row}: ${[tag, serial].filter(Boolean).join(", ")} (${code})`);
      throw new OperatorError(`The record has moved on since the sheet was judged. Nothing was recorded.\n${rows.join("\n")}`);
    }
    for (const { sentence } of result.problems.slice(0, SHOWN)) say(`  ${sentence}`);
    if (result.allProblems > SHOWN) say(`  … and ${result.allProblems - SHOWN} more.`);
    for (const { sentence, choices } of result.questions) say(`  Question: ${sentence} (${choices.join(" / ")})`);
    throw new OperatorError(`${result.summary} Nothing was recorded.`);
  });
}

/** Writes the site's fleet as a sheet that can be read in again. */
export function exportSheet(path: string, options: FleetOptions): Promise<void> {
  return atSite(options, async (db, who) => {
    const { bytes, rows } = await writeFleetSheet(db, who.site);
    writeFileSync(path, bytes);
    say(`Wrote ${rows} rows to ${path}.`);
  });
}

async function atSite(options: FleetOptions, work: (db: Database, who: Who) => Promise<void>): Promise<void> {
  if (!options.as) throw new OperatorError("Say on whose word: --as LOGIN, the login name of a manager or technician of the site.");
  const database = await besideDatabase(options.data);
  try {
    await upToDate(database);
    const db = openDatabase({ appUrl: database.appUrl, actConnections: 2, readConnections: 4 });
    try {
      const found = await findStaffAt(db, options.as, options.site ?? null);
      if (found.length === 0) throw new OperatorError(`Nobody signs in as "${options.as}"${options.site ? ` with a role at ${options.site}` : ""}.`);
      if (found.length > 1) throw new OperatorError(`"${options.as}" has roles at ${found.map(({ siteName }) => siteName).join(" and ")}. Name one with --site.`);
      await work(db, { staff: found[0]!.staff, site: found[0]!.site, device: null, request: randomUUID() });
    } finally {
      await db.close();
    }
  } finally {
    await database.close();
  }
}

function read(path: string): Buffer {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new OperatorError(`The file ${path} cannot be read (${(error as NodeJS.ErrnoException).code ?? "unknown"}).`);
  }
}

function oneOf<T extends string>(option: string, given: string, choices: readonly T[]): T {
  const found = choices.find((choice) => choice === given);
  if (found === undefined) throw new OperatorError(`${option} is "${given}"; it can be ${choices.join(" or ")}.`);
  return found;
}
