/**
 * Judges a spreadsheet of past work: one row for each service or inspection of a part that is recorded.
 *
 * The same promise as for the sheet of parts: every bad cell named, nothing guessed, all or nothing.
 */
import type { Day } from "./calendar.ts";
import type { Work } from "./due-dates.ts";
import { verdictOf } from "./fleet-sheet.ts";
import type { SheetVerdict } from "./fleet-sheet.ts";
import { workAgainstRecord, workKey } from "./fleet-sheet-known.ts";
import { groupedBy, partKey } from "./fleet-sheet-parts.ts";
import type { FleetFacts, HistoryFacts, HistoryRow } from "./fleet-sheet-parts.ts";
import { HISTORY_COLUMNS } from "./sheet-columns.ts";
import type { HistoryColumn } from "./sheet-columns.ts";
import type { JudgedColumn } from "./sheet-dates.ts";
import { judgeCountColumn } from "./sheet-numbers.ts";
import { workOf } from "./sheet-positions.ts";
import { cellProblem, shown } from "./sheet-report.ts";
import type { Sheet, SheetCell, SheetColumn, SheetProblem } from "./sheet-report.ts";
import { OpenSheet, answerFor, judgeSerialColumn, judgeTextColumn } from "./sheet-rows.ts";
import type { SheetAnswers } from "./sheet-rows.ts";
import { unusableCell } from "./sheet-text.ts";

export interface HistoryRequest {
  readonly answers: SheetAnswers<HistoryColumn>;
  /** Today in the site's zone. */
  readonly today: Day;
  readonly known: {
    /** The parts of the record, or of the sheet of parts taken in with this one. */
    readonly components: readonly FleetFacts[];
    /** Past work that is recorded. */
    readonly work: readonly HistoryFacts[];
  };
}

type Open = OpenSheet<HistoryColumn>;

/** Judges a sheet of past work. Errors: none; whatever a cell holds, the answer says what is wrong with it. */
export function judgeHistorySheet(sheet: Sheet, { answers, today, known }: HistoryRequest): SheetVerdict<HistoryRow> {
  const open = new OpenSheet<HistoryColumn>(sheet, HISTORY_COLUMNS, answers, today);
  const recorded = new Map(known.work.map((work) => [workKey(work), work]));
  const parts = groupedBy(known.components.filter((part) => part.serial !== null), (part) => partKey(part.maker, part.serial ?? ""));
  const first = new Map<string, number>();
  const fresh: HistoryRow[] = [];
  let here = 0;

  for (const row of readRows(open)) {
    const key = workKey(row);
    const earlier = first.get(key);
    if (earlier !== undefined) {
      open.refuse("work-twice", row.row, "doneOn", `the same ${row.work} of the same part on the same day stands in row ${earlier} too.`);
      continue;
    }
    first.set(key, row.row);
    const against = workAgainstRecord(open, row, recorded.get(key));
    if (against === "here") here += 1;
    if (against !== "new") continue;
    const part = onlyPart(open, row, parts.get(partKey(row.maker, row.serial)) ?? []);
    if (part) checkAgainstPart(open, row, part);
    fresh.push(row);
  }
  checkCountsRise(open, fresh, known.work);
  return verdictOf(open, fresh, here);
}

function readRows(open: Open): HistoryRow[] {
  const maker = open.judge("maker", (column, cells) => judgeTextColumn(column, cells, "the maker is missing."));
  const serial = open.judge("serial", judgeSerialColumn);
  const doneOn = open.judgeDays("doneOn");
  const work = open.judge("work", judgeWorkColumn);
  const divesAt = open.judge("divesAt", (column, cells) => judgeCountColumn(column, cells, answerFor(open.answers.decimalMark, "divesAt")));
  const by = open.judge("by", (column, cells) => judgeTextColumn(column, cells, null));
  const note = open.judge("note", (column, cells) => judgeTextColumn(column, cells, null));
  const optional = [divesAt, by, note];

  const rows: HistoryRow[] = [];
  for (const row of open.rowNumbers) {
    const [makerIs, serialIs, day, kind] = [maker?.get(row), serial?.get(row), doneOn?.get(row), work?.get(row)];
    if (serialIs === null) open.refuse("empty", row, "serial", "the serial number is missing; without it nobody can tell which part was worked on.");
    if (day === null) open.refuse("empty", row, "doneOn", "the day is missing. Work without a day proves nothing.");
    if (makerIs == null || serialIs == null || day == null || kind == null) continue;
    if (!optional.every((column) => column === null || column.has(row))) continue;
    rows.push({ row, maker: makerIs, serial: serialIs, doneOn: day, work: kind, divesAt: divesAt?.get(row) ?? null, by: by?.get(row) ?? null, note: note?.get(row) ?? null });
  }
  return rows;
}

function judgeWorkColumn(column: SheetColumn, cells: readonly SheetCell[]): JudgedColumn<Work> {
  const values = new Map<number, Work | null>();
  const problems: SheetProblem[] = [];
  for (const cell of cells) {
    const unusable = unusableCell(column, cell);
    const work = unusable ? null : workOf(cell.value);
    if (work !== null) values.set(cell.row, work);
    else problems.push(unusable ?? cellProblem("work-word", column, cell, `“${shown(cell.value)}” is not known as work here. Write service or inspection. Other work, such as a repair, resets no count and is entered at the bench.`));
  }
  return { values, problems, questions: [], blanks: [] };
}

function onlyPart(open: Open, row: HistoryRow, parts: readonly FleetFacts[]): FleetFacts | null {
  const [part] = parts;
  if (!part) open.refuse("part-unknown", row.row, "serial", `no part of ${row.maker} with the serial number ${row.serial} is recorded. Take in the sheet of parts first.`);
  else if (parts.length > 1) open.refuse("part-ambiguous", row.row, "serial", `${parts.length} parts of ${row.maker} carry the serial number ${row.serial} (${parts.map((one) => one.model).join(", ")}). Enter this work at the bench, where the part is chosen.`);
  return part !== undefined && parts.length === 1 ? part : null;
}

/** Past work must fit what the record says of the part: it cannot be later than the last work recorded there. */
function checkAgainstPart(open: Open, row: HistoryRow, part: FleetFacts): void {
  const disagree = (says: string): void => open.refuse("days-disagree", row.row, "doneOn", says);
  if (part.boughtOn !== null && row.doneOn < part.boughtOn) disagree(`the work would be done before the part was bought (${part.boughtOn}).`);
  if (row.work === "service" && (part.servicedOn === null || row.doneOn > part.servicedOn)) {
    disagree(`the part is recorded as ${part.servicedOn === null ? "never serviced" : `last serviced on ${part.servicedOn}`}, and its dives are counted from there; a service on ${row.doneOn} contradicts that.`);
  }
  const lastLooked = [part.servicedOn, part.inspectedOn].filter((on) => on !== null).sort().at(-1) ?? null;
  if (row.work === "inspection" && (lastLooked === null || row.doneOn > lastLooked)) {
    disagree(`the part is recorded as ${lastLooked === null ? "never inspected" : `last inspected or serviced on ${lastLooked}`}, and its dives are counted from there; an inspection on ${row.doneOn} contradicts that.`);
  }
  checkCountAt(open, row, part);
}

function checkCountAt(open: Open, row: HistoryRow, part: FleetFacts): void {
  if (row.divesAt === null || part.totalDives === null) return;
  const since = part.totalDives - row.divesAt;
  if (since < 0) open.refuse("counts-disagree", row.row, "divesAt", `${row.divesAt} dives at that work are more than the part has in all (${part.totalDives}).`);
  else if (row.work === "service" && row.doneOn === part.servicedOn && part.divesSinceService !== null && since !== part.divesSinceService) {
    open.refuse("counts-disagree", row.row, "divesAt", `the part has ${part.totalDives} dives in all and ${part.divesSinceService} since this service, so it had ${part.totalDives - part.divesSinceService} then, not ${row.divesAt}.`);
  }
}

/** A part's dives never fall as time goes on. */
function checkCountsRise(open: Open, fresh: readonly HistoryRow[], recorded: readonly HistoryFacts[]): void {
  const rowOf = (work: HistoryFacts | HistoryRow): number | null => ("row" in work ? work.row : null);
  const counted = [...fresh, ...recorded].filter((work) => work.divesAt !== null);
  for (const works of groupedBy<HistoryFacts | HistoryRow>(counted, (work) => partKey(work.maker, work.serial)).values()) {
    works.sort((a, b) => (a.doneOn < b.doneOn ? -1 : a.doneOn > b.doneOn ? 1 : (a.divesAt ?? 0) - (b.divesAt ?? 0)));
    for (const [at, work] of works.entries()) {
      const before = works[at - 1];
      const row = rowOf(work) ?? (before ? rowOf(before) : null);
      if (!before || row === null || (work.divesAt ?? 0) >= (before.divesAt ?? 0)) continue;
      open.refuse("counts-disagree", row, "divesAt", `${before.divesAt ?? ""} dives on ${before.doneOn}, but only ${work.divesAt ?? ""} on ${work.doneOn}. Dives do not fall as time goes on.`);
    }
  }
}
