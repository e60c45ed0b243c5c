/**
 * Judges a shop's own spreadsheet of its sets, one row for each part, as it was found.
 *
 * Everything wrong is named at once, cell by cell; what the sheet leaves open is asked; nothing is guessed.
 * There are rows to take in only when nothing is wrong and nothing is open: all or nothing.
 */
import type { Day } from "./calendar.ts";
import { checkCounts, checkDays, checkPartsOnce, checkPlaces, decidePositions } from "./fleet-sheet-checks.ts";
import { againstRecord } from "./fleet-sheet-known.ts";
import type { FleetRow, KnownPart } from "./fleet-sheet-parts.ts";
import type { Role } from "./models.ts";
import { FLEET_COLUMNS } from "./sheet-columns.ts";
import type { FleetColumn } from "./sheet-columns.ts";
import { judgeCountColumn, judgeHoursColumn } from "./sheet-numbers.ts";
import { judgePositionColumn, judgeTagColumn } from "./sheet-places.ts";
import type { BlankTags } from "./sheet-places.ts";
import { counted } from "./sheet-report.ts";
import type { AcceptedBlank, Sheet, SheetProblem, SheetQuestion } from "./sheet-report.ts";
import { OpenSheet, answerFor, judgeSerialColumn, judgeTextColumn } from "./sheet-rows.ts";
import type { SheetAnswers } from "./sheet-rows.ts";
import { tagsThatLookAlike } from "./sheet-tags.ts";
import type { TagsAlike } from "./sheet-tags.ts";

/** What the caller answers to the questions of a sheet of parts. */
export interface FleetAnswers extends SheetAnswers<FleetColumn> {
  /** The position a word means, by the word as written. */
  readonly positions?: Readonly<Record<string, Role>>;
  /** What an empty tag means. */
  readonly blankTags?: BlankTags;
  /** What tags mean that differ only in hyphens and leading noughts. */
  readonly tagsAlike?: TagsAlike;
}

/** What is recorded already. */
export interface KnownFleet {
  readonly components: readonly KnownPart[];
  /** Tags of sets that hold no part at the moment; those of `components` need not be repeated. */
  readonly tags?: readonly string[];
}

export interface FleetRequest {
  readonly answers: FleetAnswers;
  /** Today in the site's zone. */
  readonly today: Day;
  readonly known: KnownFleet;
}

export interface SheetCounts {
  /** Rows that hold anything. */
  readonly rows: number;
  readonly blankRows: number;
  /** Rows that would be taken in as far as they could be read. */
  readonly newRows: number;
  readonly alreadyHere: number;
  readonly rowsWithProblems: number;
  /** All problems, also those beyond the number that is listed. */
  readonly problems: number;
}

export interface SheetVerdict<Row> {
  /** "ready" = may be taken in; "questions" = answer first; "problems" = correct the sheet first. */
  readonly verdict: "ready" | "questions" | "problems";
  /** The rows to take in; empty unless the verdict is "ready". */
  readonly rows: readonly Row[];
  readonly problems: readonly SheetProblem[];
  readonly questions: readonly SheetQuestion[];
  /** Cells that were read as "not known". */
  readonly blanks: readonly AcceptedBlank[];
  readonly unknownHeaders: readonly string[];
  readonly counts: SheetCounts;
  /** The counts in one sentence. */
  readonly summary: string;
}

/** Judges a sheet of parts. Errors: none; whatever a cell holds, the answer says what is wrong with it. */
export function judgeFleetSheet(sheet: Sheet, { answers, today, known }: FleetRequest): SheetVerdict<FleetRow> {
  const open = new OpenSheet<FleetColumn>(sheet, FLEET_COLUMNS, answers, today);
  const recordedTags = new Set([...(known.tags ?? []), ...known.components.flatMap((part) => part.tag ?? [])]);
  const tags = readTags(open, answers, recordedTags);
  const words = open.judge("position", (column, cells) => judgePositionColumn(column, cells, answers.positions ?? {}));
  const roles = decidePositions(open, tags, words ?? new Map());
  const { rows, unread } = readRows(open, tags, roles);

  checkPartsOnce(open, rows);
  const { fresh, alreadyHere } = againstRecord(open, rows, known.components, recordedTags);
  // What is recorded was judged when it was recorded; a repeat changes nothing and is not judged again.
  checkPlaces(open, tags, roles, new Set(alreadyHere.map((row) => row.row)));
  for (const row of fresh) {
    checkDays(open, row);
    checkCounts(open, row);
  }
  const whole = (row: FleetRow): boolean => !unread.has(row.row);
  return verdictOf(open, fresh.filter(whole), alreadyHere.filter(whole).length);
}

function readTags(open: OpenSheet<FleetColumn>, answers: FleetAnswers, recorded: ReadonlySet<string>): ReadonlyMap<number, string | null> {
  const column = open.column("tag");
  const read = open.judge("tag", (at, cells) => judgeTagColumn(at, cells, answers.blankTags));
  if (!column || !read) return new Map();
  const found = new Map<string, { row: number; value: string }>();
  for (const [row, tag] of read) if (tag !== null && !found.has(tag)) found.set(tag, { row, value: open.text(row, "tag") });
  const alike = tagsThatLookAlike(column, found, recorded, answers.tagsAlike);
  open.questions.push(...alike.questions);
  return new Map([...read].map(([row, tag]) => [row, tag === null ? null : alike.spelling(tag)]));
}

/** A part that is breathed from or sends a pressure must be told from every other; a hose or a gauge often has no number. */
const NEEDS_SERIAL: ReadonlySet<Role> = new Set<Role>(["first-stage", "primary", "alternate", "transmitter"]);

interface ReadRows {
  readonly rows: readonly FleetRow[];
  /** Rows with a cell that could not be read. It stands as null, so that the other cells are still checked; such a row is never taken in. */
  readonly unread: ReadonlySet<number>;
}

function readRows(open: OpenSheet<FleetColumn>, tags: ReadonlyMap<number, string | null>, roles: ReadonlyMap<number, Role>): ReadRows {
  const { decimalMark } = open.answers;
  const needed = (what: string): string => `the ${what} is missing. Write “unmarked” where a part carries none.`;
  const counts = (name: FleetColumn): ReadonlyMap<number, number | null> | null => open.judge(name, (column, cells) => judgeCountColumn(column, cells, answerFor(decimalMark, name)));
  const hours = (name: FleetColumn): ReadonlyMap<number, number | null> | null => open.judge(name, (column, cells) => judgeHoursColumn(column, cells, answerFor(decimalMark, name)));
  const maker = open.judge("maker", (column, cells) => judgeTextColumn(column, cells, needed("maker")));
  const model = open.judge("model", (column, cells) => judgeTextColumn(column, cells, needed("model")));
  const serial = open.judge("serial", judgeSerialColumn);
  const facts = {
    boughtOn: open.judgeDays("boughtOn"),
    inUseOn: open.judgeDays("inUseOn"),
    lastUsedOn: open.judgeDays("lastUsedOn"),
    servicedOn: open.judgeDays("servicedOn"),
    inspectedOn: open.judgeDays("inspectedOn"),
    divesSinceService: counts("divesSinceService"),
    minutesSinceService: hours("hoursSinceService"),
    divesSinceInspection: counts("divesSinceInspection"),
    minutesSinceInspection: hours("hoursSinceInspection"),
    totalDives: counts("totalDives"),
    note: open.judge("note", (column, cells) => judgeTextColumn(column, cells, null)),
  };

  const rows: FleetRow[] = [];
  const unread = new Set<number>();
  const columns = Object.values(facts).filter((column) => column !== null);
  for (const row of open.rowNumbers) {
    const [tag, role, by, name, number] = [tags.get(row), roles.get(row), maker?.get(row), model?.get(row), serial?.get(row)];
    if (role !== undefined && number === null && NEEDS_SERIAL.has(role)) {
      open.refuse("empty", row, "serial", "the serial number is missing. First and second stages and transmitters are told apart by it.");
      continue;
    }
    if (tag === undefined || role === undefined || by == null || name == null || number === undefined) continue;
    if (!columns.every((column) => column.has(row))) unread.add(row);
    rows.push({
      row, tag, role, maker: by, model: name, serial: number,
      boughtOn: facts.boughtOn?.get(row) ?? null,
      inUseOn: facts.inUseOn?.get(row) ?? null,
      lastUsedOn: facts.lastUsedOn?.get(row) ?? null,
      servicedOn: facts.servicedOn?.get(row) ?? null,
      inspectedOn: facts.inspectedOn?.get(row) ?? null,
      divesSinceService: facts.divesSinceService?.get(row) ?? null,
      minutesSinceService: facts.minutesSinceService?.get(row) ?? null,
      divesSinceInspection: facts.divesSinceInspection?.get(row) ?? null,
      minutesSinceInspection: facts.minutesSinceInspection?.get(row) ?? null,
      totalDives: facts.totalDives?.get(row) ?? null,
      note: facts.note?.get(row) ?? null,
    });
  }
  return { rows, unread };
}

/** Puts together the answer about an open sheet. */
export function verdictOf<Row, Name extends string>(open: OpenSheet<Name>, fresh: readonly Row[], alreadyHere: number): SheetVerdict<Row> {
  const { problems, problemCount, badRows } = open.found;
  const verdict = problemCount > 0 ? "problems" : open.questions.length > 0 ? "questions" : "ready";
  const counts: SheetCounts = {
    rows: open.rowNumbers.length,
    blankRows: open.blankRows,
    newRows: fresh.length,
    alreadyHere,
    rowsWithProblems: badRows,
    problems: problemCount,
  };
  return {
    verdict,
    rows: verdict === "ready" ? fresh : [],
    problems,
    questions: open.questions,
    blanks: open.blanks,
    unknownHeaders: open.unknownHeaders,
    counts,
    summary: summaryOf(verdict, counts, open.questions.length),
  };
}

function summaryOf(verdict: SheetVerdict<unknown>["verdict"], counts: SheetCounts, questions: number): string {
  const here = counts.alreadyHere > 0 ? ` Already here: ${counted(counts.alreadyHere, "row")}.` : "";
  if (verdict === "problems") return `${counted(counts.problems, "problem")} in ${counted(counts.rows, "row")}: nothing is taken in.${here}`;
  if (verdict === "questions") return `${counted(questions, "question")} to answer before anything is taken in.${here}`;
  return counts.newRows === 0 ? `Nothing new.${here}` : `${counted(counts.newRows, "new row")} to take in.${here}`;
}

