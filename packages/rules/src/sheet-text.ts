/**
 * Text cells: what counts as "nothing known", how text is tidied, and which cells no reading may accept.
 */
import { cellProblem } from "./sheet-report.ts";
import type { BlankTally, SheetCell, SheetColumn, SheetProblem } from "./sheet-report.ts";

const UNKNOWN_WORDS: ReadonlySet<string> = new Set([
  "", "-", "--", "---", "–", "—", "?", "??", "???", "/", "n/a", "n.a.", "unknown", "not known",
  "unbekannt", "k.a.", "inconnu", "desconocido", "sconosciuto",
]);

/** Words that mean "nothing" only where a day or a number is asked for; a maker or model may be called so. */
const NOTHING_WORDS: ReadonlySet<string> = new Set([
  "na", "nil", "none", "never", "nie", "jamais", "nunca", "tbc", "tbd", "blank", "not recorded",
]);

/** Most cells are plain already; asking is far cheaper than rewriting them. */
const PLAIN = /^[!-~]+(?: [!-~]+)*$/;

/** Tidy text: one form of each accented letter, ordinary spaces, single, none at the ends. */
export function tidy(text: string): string {
  if (PLAIN.test(text)) return text;
  return text.normalize("NFC").replace(/[\u200b\ufeff\u00ad]/g, "").replace(/\s+/g, " ").trim();
}

/** What two texts are compared by: case, accents' coding and spaces do not make a difference. */
export function folded(text: string): string {
  return PLAIN.test(text) ? text.toLowerCase() : tidy(text).normalize("NFKC").toLowerCase();
}

/** None of the words for "not known" is longer, and none begins with a digit. */
const saysSomething = (text: string): boolean => /^[0-9]/.test(text) || (text.length > 20 && PLAIN.test(text));

/** The word that stands for "not known" in a text cell, or null when the cell says something. */
export function unknownText(text: string): string | null {
  if (saysSomething(text)) return null;
  const word = folded(text);
  return UNKNOWN_WORDS.has(word) ? word : null;
}

/** The word that stands for "not known" in a cell for a day or a number, or null when it says something. */
export function unknownValue(text: string): string | null {
  if (saysSomething(text)) return null;
  const word = folded(text);
  return UNKNOWN_WORDS.has(word) || NOTHING_WORDS.has(word) ? word : null;
}

/**
 * A cell that no column may take: an error the workbook left behind, or characters
 * that cannot be seen and could make a name look like another one.
 */
export function unusableCell(column: SheetColumn, cell: SheetCell): SheetProblem | null {
  const text = cell.value;
  if (/^[ -~]*$/.test(text) && !text.includes("#")) return null;
  if (/^\s*#(?:REF!|N\/A|VALUE!|NAME\?|DIV\/0!|NUM!|NULL!|SPILL!|CALC!|#+)\s*$/i.test(text)) {
    return cellProblem("workbook-error", column, cell, `“${text.trim().slice(0, 20)}” is an error the workbook left in place of the value. Put the value itself there.`);
  }
  // Tab and line breaks are ordinary; they become spaces.
  if (/[^\P{Cc}\t\n\r]|[\u202a-\u202e\u2066-\u2069\ufffd\p{Cs}]/u.test(text)) {
    return cellProblem("character", column, cell, "the cell holds a character that cannot be shown. Type the text again.");
  }
  return null;
}

/**
 * The cells for a day, a number or a word of a list that hold something to read. One that says "not known"
 * is a value of `null` and is tallied; one that no column may take is a problem.
 */
export function* cellsToRead(
  column: SheetColumn,
  cells: readonly SheetCell[],
  { values, problems, blanks }: { readonly values: Map<number, unknown>; readonly problems: SheetProblem[]; readonly blanks: BlankTally },
): Generator<SheetCell> {
  for (const cell of cells) {
    const word = unknownValue(cell.value);
    const unusable = word === null ? unusableCell(column, cell) : null;
    if (word !== null) {
      blanks.add(cell, word);
      values.set(cell.row, null);
    } else if (unusable !== null) problems.push(unusable);
    else yield cell;
  }
}
