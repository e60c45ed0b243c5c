/** A mixed integer linear programme as plain data, and a builder for it. Minimises; `Infinity` is no bound. */

export interface Milp {
  readonly numCols: number;
  readonly numRows: number;
  readonly offset: number;
  readonly colCost: Float64Array;
  readonly colLower: Float64Array;
  readonly colUpper: Float64Array;
  /** 1 for a whole number, 0 for any. */
  readonly integrality: Int32Array;
  readonly rowLower: Float64Array;
  readonly rowUpper: Float64Array;
  /** The matrix row by row: `starts[i]..starts[i + 1]` are the places of row i in `indices` and `values`. */
  readonly starts: Int32Array;
  readonly indices: Int32Array;
  readonly values: Float64Array;
}

export interface MilpColumn {
  readonly cost: number;
  readonly lower: number;
  readonly upper: number;
  readonly integer: boolean;
}

/** A row's coefficients by column; naming a column twice adds up. */
export type MilpEntries = Map<number, number>;

export interface MilpRow {
  readonly lower: number;
  readonly upper: number;
  readonly entries: MilpEntries;
}

/** A programme in the making. */
export interface MilpDraft {
  readonly columns: MilpColumn[];
  readonly rows: MilpRow[];
  offset: number;
}

export function newDraft(): MilpDraft {
  return { columns: [], rows: [], offset: 0 };
}

/** Adds a column and answers its number. */
export function addColumn(draft: MilpDraft, column: MilpColumn): number {
  return draft.columns.push(column) - 1;
}

export function addTo(entries: MilpEntries, column: number, value: number): void {
  if (value !== 0) entries.set(column, (entries.get(column) ?? 0) + value);
}

/** Adds a row. One without entries is kept if no values could satisfy it, so that the programme stays unsolvable. */
export function addRow(draft: MilpDraft, row: MilpRow): void {
  if (row.entries.size > 0 || row.lower > 0 || row.upper < 0) draft.rows.push(row);
}

export function finish({ columns, rows, offset }: MilpDraft): Milp {
  const entries = rows.reduce((sum, row) => sum + row.entries.size, 0);
  const starts = new Int32Array(rows.length + 1);
  const indices = new Int32Array(entries);
  const values = new Float64Array(entries);
  let at = 0;
  rows.forEach((row, index) => {
    for (const [column, value] of row.entries) {
      indices[at] = column;
      values[at] = value;
      at += 1;
    }
    starts[index + 1] = at;
  });
  return {
    numCols: columns.length,
    numRows: rows.length,
    offset,
    colCost: Float64Array.from(columns, ({ cost }) => cost),
    colLower: Float64Array.from(columns, ({ lower }) => lower),
    colUpper: Float64Array.from(columns, ({ upper }) => upper),
    integrality: Int32Array.from(columns, ({ integer }) => Number(integer)),
    rowLower: Float64Array.from(rows, ({ lower }) => lower),
    rowUpper: Float64Array.from(rows, ({ upper }) => upper),
    starts,
    indices,
    values,
  };
}
