/**
 * Sheets of labels: where each label lies, and what is drawn on it. All lengths are millimetres.
 *
 * Source of the sizes: the common grids of A4 and US letter label sheets, and label rolls (common
 * practice; whoever prints measures the first sheet against the paper).
 */

export interface LabelSheet {
  readonly id: string;
  readonly name: string;
  /** The named page of the style sheet that sets the paper's size. */
  readonly paper: "a4" | "letter" | "roll-50" | "roll-62";
  readonly width: number;
  readonly height: number;
  readonly columns: number;
  readonly rows: number;
  readonly label: { readonly width: number; readonly height: number };
  /** From the sheet's corner to the first label's. */
  readonly left: number;
  readonly top: number;
  /** Between two labels. */
  readonly gapX: number;
  readonly gapY: number;
}

const A4 = { paper: "a4", width: 210, height: 297 } as const;
const LETTER = { paper: "letter", width: 215.9, height: 279.4 } as const;

export const LABEL_SHEETS: readonly LabelSheet[] = [
  { id: "a4-24", name: "A4, 24 labels of 70 × 37 mm", ...A4, columns: 3, rows: 8, label: { width: 70, height: 37 }, left: 0, top: 0.5, gapX: 0, gapY: 0 },
  { id: "a4-21", name: "A4, 21 labels of 63.5 × 38.1 mm", ...A4, columns: 3, rows: 7, label: { width: 63.5, height: 38.1 }, left: 7.21, top: 15.15, gapX: 2.54, gapY: 0 },
  { id: "a4-40", name: "A4, 40 labels of 48.5 × 25.4 mm", ...A4, columns: 4, rows: 10, label: { width: 48.5, height: 25.4 }, left: 8, top: 21.5, gapX: 0, gapY: 0 },
  { id: "letter-30", name: "US letter, 30 labels of 2⅝ × 1 inch", ...LETTER, columns: 3, rows: 10, label: { width: 66.675, height: 25.4 }, left: 4.7625, top: 12.7, gapX: 3.175, gapY: 0 },
  roll("roll-50", "Roll, 50 × 25 mm", 50, 25),
  roll("roll-62", "Roll, 62 × 29 mm", 62, 29),
];

function roll(paper: "roll-50" | "roll-62", name: string, width: number, height: number): LabelSheet {
  return { id: paper, name, paper, width, height, columns: 1, rows: 1, label: { width, height }, left: 0, top: 0, gapX: 0, gapY: 0 };
}

export interface PlacedLabel {
  readonly tag: string;
  readonly x: number;
  readonly y: number;
}

/**
 * The labels sheet by sheet, row by row.
 *
 * @param first  the first free place on the first sheet, from 1: a sheet begun before is used up
 */
export function placeLabels(sheet: LabelSheet, tags: readonly string[], first = 1): readonly (readonly PlacedLabel[])[] {
  const places = sheet.columns * sheet.rows;
  if (!Number.isInteger(first) || first < 1 || first > places) throw new RangeError(`The first free place of this sheet is from 1 to ${places}.`);
  const sheets: PlacedLabel[][] = [];
  tags.forEach((tag, index) => {
    const at = index + first - 1;
    const place = at % places;
    (sheets[Math.floor(at / places)] ??= []).push({
      tag,
      x: sheet.left + (place % sheet.columns) * (sheet.label.width + sheet.gapX),
      y: sheet.top + Math.floor(place / sheet.columns) * (sheet.label.height + sheet.gapY),
    });
  });
  return sheets;
}

/** Kept free at a label's edge: a printer is off by a millimetre or two. */
const EDGE = 2.5;
/** A bold letter of a fixed-width face is about this wide, by its size. */
const LETTER_WIDTH = 0.62;

export interface LabelLayout {
  /** The square that holds the code with its quiet zone. */
  readonly code: { readonly x: number; readonly y: number; readonly side: number };
  /** Where the tag begins, the line its letters stand on, and their size. */
  readonly text: { readonly x: number; readonly y: number; readonly size: number };
}

/** The code on the left, as large as leaves the tag readable; the tag on the right, as large as fits. */
export function layOut({ label }: Pick<LabelSheet, "label">, tag: string): LabelLayout {
  const side = Math.min(label.height - 2 * EDGE, label.width * 0.42);
  const left = EDGE + side + 1;
  const size = Math.min((label.width - left - EDGE) / (Math.max(tag.length, 1) * LETTER_WIDTH), label.height * 0.4);
  return { code: { x: EDGE, y: (label.height - side) / 2, side }, text: { x: left, y: label.height / 2 + size * 0.35, size } };
}
