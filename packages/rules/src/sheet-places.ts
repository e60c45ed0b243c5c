/** The two columns that say where a part is: the tag of its set and its position in it. */
import { ROLES } from "./models.ts";
import type { Role } from "./models.ts";
import type { JudgedColumn } from "./sheet-dates.ts";
import { positionOf, wordKey } from "./sheet-positions.ts";
import type { PositionWord } from "./sheet-positions.ts";
import { BlankTally, cellProblem, columnQuestion, counted, examplesOf, shown } from "./sheet-report.ts";
import type { SheetCell, SheetColumn, SheetProblem, SheetQuestion } from "./sheet-report.ts";
import { normalTag } from "./sheet-tags.ts";
import { unknownText, unusableCell } from "./sheet-text.ts";

/** An empty tag: a part in no set, or one of the set named above it, as in sheets with merged cells. */
export type BlankTags = "spare" | "same-as-above";

/** The word Hangrail writes for a part in no set. */
export const SPARE = "spare";
const SPARE_WORDS: ReadonlySet<string> = new Set([SPARE, "spares", "spare part", "no set", "in no set", "loose", "shelf", "ersatz", "reserve", "repuesto", "recambio", "scorta", "ricambio"]);

/** More open words than this are not asked one by one. */
const MOST_WORDS_ASKED = 40;

/** Reads the tags. null = a spare. */
export function judgeTagColumn(column: SheetColumn, cells: readonly SheetCell[], told: BlankTags | undefined): JudgedColumn<string> {
  const values = new Map<number, string | null>();
  const problems: SheetProblem[] = [];
  const blank: SheetCell[] = [];
  const blanks = new BlankTally();
  // undefined = no tag above; null = the tag above could not be read, so those below it cannot either.
  let above: string | null | undefined;

  for (const cell of cells) {
    const unusable = unusableCell(column, cell);
    const word = unusable ? null : unknownText(cell.value);
    const tag = normalTag(cell.value);
    if (unusable) problems.push(unusable);
    else if (word !== null) {
      blanks.add(cell, word);
      blank.push(cell);
      if (told === "spare") values.set(cell.row, null);
      else if (told === "same-as-above" && above === undefined) problems.push(cellProblem("empty", column, cell, "there is no set tag, and none above it."));
      else if (told === "same-as-above" && above != null) values.set(cell.row, above);
      continue;
    } else if (SPARE_WORDS.has(wordKey(cell.value))) {
      values.set(cell.row, null);
      above = undefined;
      continue;
    } else if (tag === null) problems.push(cellProblem("tag-form", column, cell, `“${shown(cell.value)}” is no tag: a tag is 1 to 20 letters A to Z, digits and hyphens.`));
    else values.set(cell.row, tag);
    above = unusable ? null : tag;
  }
  const questions = blank.length > 0 && told === undefined ? [blankTagQuestion(column, blank)] : [];
  return { values, problems, questions, blanks: blanks.list(column) };
}

function blankTagQuestion(column: SheetColumn, blank: readonly SheetCell[]): SheetQuestion {
  return columnQuestion("blank-tags", column, blank, ["same-as-above", "spare"], (first) =>
    `${counted(blank.length, "row")} without a set tag, the first is row ${first.row}. Do they belong to the set named above them, or are they spares in no set?`);
}

/** Reads the positions. `told` gives the position of a word, by the word as written. */
export function judgePositionColumn(column: SheetColumn, cells: readonly SheetCell[], told: Readonly<Record<string, Role>>): JudgedColumn<PositionWord> {
  const answers = new Map(Object.entries(told).map(([word, role]) => [wordKey(word), role]));
  const values = new Map<number, PositionWord | null>();
  const problems: SheetProblem[] = [];
  const open = new Map<string, SheetCell[]>();
  const read = new Map<string, PositionWord | null>();

  for (const cell of cells) {
    const unusable = unusableCell(column, cell);
    if (unusable || unknownText(cell.value) !== null) {
      problems.push(unusable ?? cellProblem("empty", column, cell, "the position is missing."));
      continue;
    }
    // A fleet has thousands of rows and a dozen words.
    let word = read.get(cell.value);
    if (word === undefined) {
      word = answers.get(wordKey(cell.value)) ?? positionOf(cell.value);
      read.set(cell.value, word);
    }
    if (word !== null) values.set(cell.row, word);
    else {
      const asked = open.get(wordKey(cell.value));
      if (asked) asked.push(cell);
      else open.set(wordKey(cell.value), [cell]);
    }
  }
  const words = [...open.values()];
  for (const same of words.slice(MOST_WORDS_ASKED)) {
    for (const cell of same) problems.push(cellProblem("position-word", column, cell, `“${shown(cell.value)}” is not a position that is known.`));
  }
  return { values, problems, questions: words.slice(0, MOST_WORDS_ASKED).map((same) => positionQuestion(column, same)), blanks: [] };
}

function positionQuestion(column: SheetColumn, cells: readonly SheetCell[]): SheetQuestion {
  const asked = columnQuestion("position-word", column, cells, ROLES, (first) =>
    `“${shown(first.value)}”, in ${counted(cells.length, "row")} from row ${first.row} on, is not a position that is known. Which position is it?`);
  return { ...asked, about: cells[0]?.value ?? "", examples: examplesOf(cells) };
}
