"use client";
import type { Inputs } from "../../../../trpc/types.ts";
import { useMutation } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { Day } from "../../../../components/when.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { kindText } from "../plan-words.ts";

export type BookingRow = Inputs["plan"]["makeBookings"]["bookings"][number];

const column = createColumnHelper<TableFeatures, BookingRow & { nth: number }>();
const columns = column.columns([
  column.accessor("fromOn", { header: "From", cell: ({ row }) => <Day day={row.original.fromOn} /> }),
  column.accessor("untilOn", { header: "Until", cell: ({ row }) => <Day day={row.original.untilOn} /> }),
  column.accessor("sets", { header: "Sets" }),
  column.accessor((row) => kindText(row), { id: "kind", header: "Kind" }),
  column.accessor("words", { header: "In words", enableSorting: false, cell: ({ row }) => row.original.words || "—" }),
]);

/** Bookings as they would be recorded, to look at first; all of them or none. Made anew for each list, with a number of its own. */
export function ReadBookings({ bookings, onDone, onDrop }: { bookings: readonly BookingRow[]; onDone: (words: string) => void; onDrop: () => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId } = useRequestId();
  const make = useMutation(trpc.plan.makeBookings.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => onDone(`${countText(bookings.length, "booking")} recorded.`)) }));
  return (
    <div className="grid gap-4">
      <DataTable caption={`${countText(bookings.length, "booking")} read; nothing is recorded yet`} columns={columns} rows={bookings.map((booking, nth) => ({ ...booking, nth }))} rowKey={(row) => String(row.nth)} empty="No booking." />
      <WhyNot state={make} />
      <div className="flex flex-wrap gap-4">
        <Button tone="primary" pending={make.isPending} pendingWords="Being recorded…" onClick={() => make.mutate({ requestId, bookings: [...bookings] })}>
          Record all {bookings.length}
        </Button>
        <Button onClick={onDrop}>Drop them</Button>
      </div>
    </div>
  );
}
