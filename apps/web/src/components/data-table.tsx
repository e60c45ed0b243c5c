"use client";
import { columnVisibilityFeature, createSortedRowModel, rowSortingFeature, sortFns, tableFeatures, useTable, type SortingState } from "@tanstack/react-table";
import { useId, useState, type ReactNode } from "react";
import { numberText } from "../format.ts";
import { Button } from "./button.tsx";
import { Icon } from "./icon.tsx";
import { Notice } from "./notice.tsx";
import type { TableView } from "./table-view.ts";

const features = tableFeatures({ rowSortingFeature, columnVisibilityFeature, sortedRowModel: createSortedRowModel(), sortFns });

/** What our tables can do; `createColumnHelper<TableFeatures, Row>()` makes their columns. */
export type TableFeatures = typeof features;

// A column may hold any kind of value; only its own cell reads it.
type Columns<Row extends object> = Parameters<typeof useTable<TableFeatures, Row>>[0]["columns"];

type DataTableProps<Row extends object> = {
  /** What the table shows, as a heading would say it. */
  caption: string;
  /** From `createColumnHelper`; each header is a plain word. The first column names the row. */
  columns: Columns<Row>;
  /** Undefined while they are being read. */
  rows: readonly Row[] | undefined;
  rowKey: (row: Row) => string;
  /** The sentence for no rows at all. */
  empty: string;
  /** The sentence for rows that could not be read. */
  failed?: string | null;
  /** The server's page and order, from `useTableView`. Without it, all rows are here and are ordered here. */
  view?: TableView;
  /** With `view`: how many rows there are in all. */
  total?: number | undefined;
  /** Columns the reader may hide. */
  choosable?: boolean;
  /** Six columns and more: its rows become cards on a tablet too. */
  wide?: boolean;
  /** Stands above the table beside the column chooser: filters, search. */
  children?: ReactNode;
};

/** A table with its caption, sortable headings, pages and three different sentences for none, waiting and failed. */
export function DataTable<Row extends object>(props: DataTableProps<Row>) {
  const { caption, columns, rows, rowKey, empty, failed = null, view, total, choosable = false, wide = false, children } = props;
  const [ownSorting, setOwnSorting] = useState<SortingState>([]);
  const [ownHidden, setOwnHidden] = useState<readonly string[]>([]);
  const hidden = view?.hidden ?? ownHidden;
  const sorting = view === undefined ? ownSorting : [{ id: view.sort, desc: view.descending }];

  const table = useTable<TableFeatures, Row>({
    features,
    columns,
    data: rows ?? none,
    getRowId: rowKey,
    manualSorting: view !== undefined,
    enableMultiSort: false,
    enableSortingRemoval: false,
    state: { sorting, columnVisibility: Object.fromEntries(hidden.map((id) => [id, false])) },
    onSortingChange: (update) => {
      const next = typeof update === "function" ? update(sorting) : update;
      const [first] = next;
      if (view === undefined) setOwnSorting(next);
      else if (first !== undefined) view.change({ sort: first.id, descending: first.desc });
    },
  });
  const setHidden = (next: readonly string[]) => (view === undefined ? setOwnHidden(next) : view.change({ hidden: next }));
  const columnCount = table.getVisibleLeafColumns().length;

  return (
    <div data-wide={wide || undefined}>
      {children === undefined && !choosable ? null : (
        <div className="screen-only mb-4 flex flex-wrap items-end gap-4">
          {children}
          {choosable ? <ColumnChooser all={table.getAllLeafColumns().map((column) => ({ id: column.id, name: headerText(column.columnDef.header, column.id) }))} hidden={hidden} onChange={setHidden} /> : null}
        </div>
      )}
      <table className="table" role="table" aria-busy={rows === undefined && failed === null} aria-rowcount={total === undefined ? undefined : total + 1}>
        <caption className="pb-2 text-start text-lg font-bold">{caption}</caption>
        <thead role="rowgroup">
          {table.getHeaderGroups().map((group) => (
            <tr key={group.id} role="row">
              {group.headers.map((header) => {
                const sorted = sorting.find((one) => one.id === header.column.id);
                const name = header.isPlaceholder ? null : <table.FlexRender header={header} />;
                return (
                  <th key={header.id} scope="col" role="columnheader" aria-sort={sorted === undefined ? undefined : sorted.desc ? "descending" : "ascending"}>
                    {header.column.getCanSort() ? (
                      <button type="button" className="inline-flex min-h-12 items-center gap-1.5 text-start font-bold underline underline-offset-4" onClick={() => header.column.toggleSorting(sorted !== undefined && !sorted.desc)}>
                        {name}
                        <Icon name={sorted === undefined ? "upDown" : sorted.desc ? "down" : "up"} size={20} />
                      </button>
                    ) : (
                      name
                    )}
                  </th>
                );
              })}
            </tr>
          ))}
        </thead>
        <tbody role="rowgroup">
          {failed !== null ? (
            <Spanning columns={columnCount}>
              <Notice kind="stop" title="Could not be read">
                {failed}
              </Notice>
            </Spanning>
          ) : rows === undefined ? (
            <Spanning columns={columnCount}>Being read…</Spanning>
          ) : rows.length === 0 ? (
            <Spanning columns={columnCount}>{empty}</Spanning>
          ) : (
            table.getRowModel().rows.map((row) => (
              <tr key={row.id} role="row">
                {row.getVisibleCells().map((cell, index) => {
                  const Cell = index === 0 ? "th" : "td";
                  return (
                    <Cell key={cell.id} role={index === 0 ? "rowheader" : "cell"} scope={index === 0 ? "row" : undefined}>
                      <span className="cell-name" aria-hidden="true">
                        {headerText(cell.column.columnDef.header, cell.column.id)}
                      </span>
                      <span className="min-w-0">
                        <table.FlexRender cell={cell} />
                      </span>
                    </Cell>
                  );
                })}
              </tr>
            ))
          )}
        </tbody>
      </table>
      {view === undefined || total === undefined ? null : <Pages view={view} total={total} caption={caption} />}
    </div>
  );
}

const none: readonly never[] = [];

function Spanning({ columns, children }: { columns: number; children: ReactNode }) {
  return (
    <tr role="row">
      <td role="cell" colSpan={columns} className="py-6">
        {children}
      </td>
    </tr>
  );
}

function Pages({ view, total, caption }: { view: TableView; total: number; caption: string }) {
  const last = Math.max(1, Math.ceil(total / view.pageSize));
  if (total <= view.pageSize && view.page === 1) return <p className="mt-3 text-soft">{total === 0 ? null : `All ${numberText(total)} shown.`}</p>;
  return (
    <nav aria-label={`Pages of ${caption}`} className="screen-only mt-4 flex flex-wrap items-center gap-4">
      <Button refusedBecause={view.page <= 1 ? "This is the first page." : null} onClick={() => view.change({ page: view.page - 1 })}>
        Earlier
      </Button>
      <p role="status">
        Page {numberText(view.page)} of {numberText(last)}, {numberText(total)} in all
      </p>
      <Button refusedBecause={view.page >= last ? "This is the last page." : null} onClick={() => view.change({ page: view.page + 1 })}>
        Further
      </Button>
    </nav>
  );
}

type ChooserProps = { all: readonly { id: string; name: string }[]; hidden: readonly string[]; onChange: (hidden: readonly string[]) => void };

function ColumnChooser({ all, hidden, onChange }: ChooserProps) {
  const id = useId();
  const [open, setOpen] = useState(false);
  return (
    <div>
      <Button aria-expanded={open} aria-controls={id} onClick={() => setOpen(!open)}>
        <Icon name="columns" /> Columns
      </Button>
      <fieldset id={id} hidden={!open} className="mt-4">
        <legend className="sr-only">Columns shown</legend>
        <div className="flex flex-wrap gap-4">
          {all.slice(1).map((column) => (
            <label key={column.id} className="tick">
              <input type="checkbox" checked={!hidden.includes(column.id)} onChange={(event) => onChange(event.target.checked ? hidden.filter((one) => one !== column.id) : [...hidden, column.id])} />
              {column.name}
            </label>
          ))}
        </div>
      </fieldset>
    </div>
  );
}

function headerText(header: unknown, id: string): string {
  return typeof header === "string" ? header : id;
}
