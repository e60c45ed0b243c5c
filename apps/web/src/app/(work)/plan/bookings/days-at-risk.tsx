"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Day } from "../../../../components/when.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../../trends/counted.tsx";
import { kindText } from "../plan-words.ts";
import type { Outlook } from "../plan-types.ts";

const WEEKS = 52;
type Row = Outlook["daysAtRisk"][number] & { readonly kindWords: string };

/** Days on which bookings would have no set, were nothing serviced from today on. */
export function DaysAtRisk() {
  const trpc = useTRPC();
  const outlook = useQuery(trpc.plan.outlook.queryOptions({ weeks: WEEKS }));
  return (
    <section aria-labelledby="at-risk">
      <h2 id="at-risk" className="mb-2">
        Days at risk
      </h2>
      <Counted query={outlook}>
        {({ daysAtRisk, kinds }) =>
          daysAtRisk.length === 0 ? (
            <p className="max-w-prose">{kinds.length === 0 ? "Nothing is booked in the next 52 weeks, so no day is at risk." : "No day of the next 52 weeks is short of sets, even were nothing serviced."}</p>
          ) : (
            <Days rows={daysAtRisk.map((day) => ({ ...day, kindWords: wordsOf(kinds, day.kind) }))} />
          )
        }
      </Counted>
    </section>
  );
}

function wordsOf(kinds: Outlook["kinds"], id: string): string {
  const kind = kinds.find((one) => one.id === id);
  return kind === undefined ? "a kind no longer booked" : kindText(kind);
}

const column = createColumnHelper<TableFeatures, Row>();
const columns = column.columns([
  column.accessor("on", { header: "Day", cell: ({ row }) => <Day day={row.original.on} /> }),
  column.accessor("kindWords", { header: "Kind" }),
  column.accessor("booked", { header: "Booked" }),
  column.accessor("able", { header: "In date" }),
  column.accessor("short", { header: "Short", cell: ({ row }) => countText(row.original.short, "set") }),
]);

/** A holiday month is thirty lines; the whole list opens on wish. */
const FIRST = 8;

function Days({ rows }: { rows: readonly Row[] }) {
  const table = (shown: readonly Row[], caption: string) => <DataTable caption={caption} columns={columns} rows={shown} rowKey={(row) => `${row.on} ${row.kind}`} empty="No day." />;
  return (
    <>
      <p className="mb-3 max-w-prose">Were nothing serviced from today on, these days would be short. The plan is there to prevent that.</p>
      {table(rows.slice(0, FIRST), rows.length > FIRST ? `The first ${FIRST} of ${rows.length} days at risk` : "Days at risk")}
      {rows.length <= FIRST ? null : (
        <details>
          <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">All {rows.length}</summary>
          {table(rows, "Every day at risk")}
        </details>
      )}
    </>
  );
}
