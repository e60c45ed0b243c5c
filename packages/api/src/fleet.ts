import type { Who } from "@hangrail/db/acts";
import type { Database } from "@hangrail/db/database";
import * as fleetDb from "@hangrail/db/fleet";
import { judgeFleetSheet, type FleetAnswers, type SheetVerdict } from "@hangrail/rules/fleet-sheet";
import { fleetSheetOf } from "@hangrail/rules/fleet-sheet-export";
import { judgeHistorySheet } from "@hangrail/rules/fleet-sheet-history";
import type { FleetRow, HistoryRow } from "@hangrail/rules/fleet-sheet-parts";
import { ROLES } from "@hangrail/rules/models";
import { FLEET_COLUMNS, HISTORY_COLUMNS, type HistoryColumn } from "@hangrail/rules/sheet-columns";
import type { SheetProblem } from "@hangrail/rules/sheet-report";
import type { SheetAnswers } from "@hangrail/rules/sheet-rows";
import { TRPCError } from "@trpc/server";
import { z } from "zod";
import { words } from "./inputs.ts";
import { readSheet, writeSheet, MOST_BYTES } from "./spreadsheet.ts";
import { procedureFor, requestId, router } from "./trpc.ts";

/** Problems sent to a screen; the rest is in the report file. */
const SHOWN_PROBLEMS = 300;

/** One answer for all columns, or one for each by its name. */
const perColumn = <T extends [string, ...string[]]>(choices: T) => z.union([z.enum(choices), z.record(z.string().max(60), z.enum(choices))]).optional();
const columnName = z.enum(["ignore", ...new Set<string>([...FLEET_COLUMNS, ...HISTORY_COLUMNS].map((column) => column.name))]);

const answers = z.strictObject({
  columns: z.record(z.string().max(500), columnName).optional(),
  ignoreUnknown: z.boolean().optional(),
  dateOrder: perColumn(["day-first", "month-first"]),
  dayNumbers: perColumn(["from-1900", "from-1904"]),
  decimalMark: perColumn(["comma", "point"]),
  shortRows: z.literal("empty").optional(),
  positions: z.record(z.string().max(500), z.enum(ROLES)).optional(),
  blankTags: z.enum(["spare", "same-as-above"]).optional(),
  tagsAlike: z.enum(["same-set", "different-sets"]).optional(),
});
export type SheetAnswersInput = z.infer<typeof answers>;

const sheetFile = z.strictObject({
  kind: z.enum(["fleet", "history"]),
  fileName: words(200, 1),
  /** The file as it is, base64. */
  file: z.base64().max(Math.ceil((MOST_BYTES + 1) / 3) * 4, "The file is larger than 5 MB."),
  delimiter: z.enum([",", ";", "\t"]).optional(),
  answers,
});
export type SheetFile = z.infer<typeof sheetFile>;

type Judged = { readonly kind: "fleet"; readonly verdict: SheetVerdict<FleetRow> } | { readonly kind: "history"; readonly verdict: SheetVerdict<HistoryRow> };

/** A fleet in from a spreadsheet and out again, in the same form. */
export const fleet = router({
  /** Reads and judges a sheet; records nothing. Every bad cell is named, every open question asked. */
  check: procedureFor("manager", "technician")
    .input(sheetFile)
    .mutation(async ({ ctx, input }) => {
      const judged = await judge(ctx.db, ctx.site.id, input);
      return "refusal" in judged ? { answer: "unreadable" as const, sentence: judged.refusal } : { answer: "judged" as const, ...report(judged) };
    }),

  /** Judges the sheet once more and records every row, or none. */
  record: procedureFor("manager", "technician")
    .input(z.strictObject({ requestId, sheet: sheetFile }))
    .mutation(({ ctx, input }) => recordSheet(ctx.db, ctx.who(input.requestId), input.sheet)),

  /** The newest imports, and how far a running one has come. */
  imports: procedureFor("manager", "technician").query(({ ctx }) => fleetDb.listImports(ctx.db, ctx.site.id, 10)),

  /** The site's fleet as a sheet that can be read in again. */
  export: procedureFor("manager", "technician").query(async ({ ctx }) => {
    const [{ bytes, rows }, today] = await Promise.all([writeFleetSheet(ctx.db, ctx.site.id), fleetDb.siteToday(ctx.db, ctx.site.id)]);
    return { fileName: `fleet-${today}.csv`, rows, file: Buffer.from(bytes).toString("base64") };
  }),

  /** The header row a sheet may start from. */
  columns: procedureFor("manager", "technician").query(() => ({
    fleet: FLEET_COLUMNS.map(({ name, title, required }) => ({ name, title, required })),
    history: HISTORY_COLUMNS.map(({ name, title, required }) => ({ name, title, required })),
  })),

  /** Every problem of a sheet as a file of its own, to work through beside the spreadsheet. */
  problems: procedureFor("manager", "technician")
    .input(sheetFile)
    .mutation(async ({ ctx, input }) => {
      const judged = await judge(ctx.db, ctx.site.id, input);
      if ("refusal" in judged) throw new TRPCError({ code: "BAD_REQUEST", message: judged.refusal });
      const rows = judged.verdict.problems.map((p) => [p.row, p.column, p.header, p.value, p.sentence]);
      return { fileName: "problems.csv", file: Buffer.from(writeSheet(["Row", "Column", "Header", "Found", "What is wrong"], rows)).toString("base64") };
    }),
});

/** Reads, judges and records one sheet for `who`. Used by the screen and by the command line alike. */
export async function recordSheet(db: Database, who: Who, sheet: SheetFile) {
  const job = await fleetDb.openImport(db, who, sheet.fileName);
  const step = (phase: fleetDb.ImportJob["phase"], total: number, done: number, said: string | null) => fleetDb.stepImport(db, job, phase, total, done, said);
  try {
    await step("checking", 0, 0, null);
    const judged = await judge(db, who.site, sheet);
    if ("refusal" in judged) {
      await step("refused", 0, 0, judged.refusal);
      return { answer: "unreadable" as const, sentence: judged.refusal };
    }
    const { verdict } = judged;
    const { rows, alreadyHere } = verdict.counts;
    if (verdict.verdict !== "ready") {
      await step("refused", rows, 0, verdict.summary);
      return { answer: "judged" as const, ...report(judged) };
    }
    await step("recording", rows, alreadyHere, null);
    const done = verdict.rows.length === 0 ? null : judged.kind === "fleet" ? await fleetDb.importFleet(db, who, judged.verdict.rows) : await fleetDb.importHistory(db, who, judged.verdict.rows);
    if (done?.answer === "refused") {
      await step("refused", rows, 0, done.code);
      return done;
    }
    await step("done", rows, rows, verdict.summary);
    return { answer: "done" as const, newRows: verdict.rows.length, alreadyHere, newSets: done !== null && "newSets" in done ? done.newSets : 0, summary: verdict.summary };
  } catch (error) {
    if (error instanceof fleetDb.SheetClash) {
      await step("refused", 0, 0, error.message);
      return { answer: "clash" as const, problems: error.clashes.map(({ row, tag, serial, code }) => ({ row, tag: tag ?? null, serial, code })) };
    }
    await step("failed", 0, 0, "Something went wrong; nothing was recorded.");
    throw error;
  }
}

/** The fleet of a site as a sheet's bytes, and how many rows it has. */
export async function writeFleetSheet(db: Pick<Database, "reads">, site: string): Promise<{ readonly bytes: Uint8Array; readonly rows: number }> {
  const { header, rows } = fleetSheetOf(await fleetDb.knownParts(db, site));
  return { bytes: writeSheet(header, rows), rows: rows.length };
}

async function judge(db: Database, site: string, { kind, fileName, file, delimiter, answers: given }: SheetFile): Promise<Judged | { readonly refusal: string }> {
  const read = readSheet(Buffer.from(file, "base64"), { name: fileName, ...(delimiter && { delimiter }) });
  if (!read.ok) return { refusal: read.sentence };
  const [today, components, tags, work] = await Promise.all([
    fleetDb.siteToday(db, site),
    fleetDb.knownParts(db, site),
    kind === "fleet" ? fleetDb.knownTags(db) : [],
    kind === "history" ? fleetDb.knownWork(db, site) : [],
  ]);
  const said = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
  const judged: Judged =
    kind === "fleet"
      ? { kind, verdict: judgeFleetSheet(read.sheet, { answers: said as FleetAnswers, today, known: { components, tags } }) }
      : { kind, verdict: judgeHistorySheet(read.sheet, { answers: said as SheetAnswers<HistoryColumn>, today, known: { components, work } }) };
  return read.problems.length === 0 ? judged : withProblems(judged, read.problems);
}

/** A file whose cells swallowed rows is never ready, whatever its cells say. */
function withProblems(judged: Judged, problems: readonly SheetProblem[]): Judged {
  const verdict = { ...judged.verdict, verdict: "problems" as const, rows: [], problems: [...problems, ...judged.verdict.problems] };
  return judged.kind === "fleet" ? { kind: "fleet", verdict } : { kind: "history", verdict };
}

function report({ kind, verdict }: Judged) {
  const { problems, questions, blanks, unknownHeaders, counts, summary } = verdict;
  // A part new to a set that is recorded is a problem, so every tag among the rows to take in is a new set's.
  const newSets = kind === "fleet" ? new Set(verdict.rows.flatMap((row) => row.tag ?? [])).size : 0;
  return { verdict: verdict.verdict, problems: problems.slice(0, SHOWN_PROBLEMS), allProblems: Math.max(problems.length, counts.problems), questions, blanks, unknownHeaders, counts, newSets, summary };
}
