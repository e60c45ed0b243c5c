"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useState } from "react";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, dayText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { kindText } from "../plan-words.ts";
import { DaysAtRisk } from "./days-at-risk.tsx";
import { FromPastHires } from "./from-past-hires.tsx";
import { FromSheet } from "./from-sheet.tsx";
import { TypeBooking } from "./type-booking.tsx";
import type { BookingView } from "../plan-types.ts";

/** What is booked, three ways to enter more, and the days that are short before any plan. */
export function Bookings() {
  const { staff } = useWho();
  const mayPlan = staff.roles.some((role) => role === "technician" || role === "manager");
  return (
    <div className="grid gap-10">
      {mayPlan ? <DaysAtRisk /> : null}
      <BookingList />
      <TypeBooking />
      <FromSheet />
      <FromPastHires />
    </div>
  );
}

function BookingList() {
  const trpc = useTRPC();
  const bookings = useQuery(trpc.plan.bookings.queryOptions());
  const [withdrawing, setWithdrawing] = useState<BookingView | null>(null);
  const afterAct = useAfterAct();
  const withdraw = useMutation(trpc.plan.withdrawBooking.mutationOptions({ onSettled: () => setWithdrawing(null), onSuccess: (answer) => afterAct(answer) }));
  const columns = column.columns([
    column.accessor("fromOn", { header: "From", cell: ({ row }) => <Day day={row.original.fromOn} /> }),
    column.accessor("untilOn", { header: "Until", cell: ({ row }) => <Day day={row.original.untilOn} /> }),
    column.accessor("sets", { header: "Sets" }),
    column.accessor((row) => kindText(row), { id: "kind", header: "Kind" }),
    column.accessor("words", { header: "In words", enableSorting: false, cell: ({ row }) => row.original.words || "—" }),
    column.accessor((row) => `${sourceText(row.source)}, ${row.madeBy}`, { id: "made", header: "Entered" }),
    column.display({
      id: "withdraw",
      header: "Withdraw",
      enableSorting: false,
      cell: ({ row: { original } }) => (
        <Button aria-label={`Withdraw ${bookingText(original)}`} onClick={() => setWithdrawing(original)}>
          Withdraw…
        </Button>
      ),
    }),
  ]);
  return (
    <section aria-label="Bookings entered">
      <WhyNot state={withdraw} />
      <DataTable caption="Bookings from today on" columns={columns} rows={bookings.data} rowKey={(row) => row.id} empty="Nothing is booked from today on. Enter a booking below, or bring them in from a sheet." failed={bookings.error === null ? null : errorWords(bookings.error)} wide />
      <Confirm open={withdrawing !== null} title="Withdraw this booking?" act="Withdraw it" tone="danger" pending={withdraw.isPending} onConfirm={() => withdrawing !== null && withdraw.mutate({ bookingId: withdrawing.id })} onCancel={() => setWithdrawing(null)}>
        <p>{withdrawing === null ? "" : `${bookingText(withdrawing)}.`} It counts no more in the plan. Should it come after all, it is entered anew.</p>
      </Confirm>
    </section>
  );
}

const column = createColumnHelper<TableFeatures, BookingView>();

/** "12 sets from 3 Aug 2027 until 9 Aug 2027". */
export function bookingText({ sets, fromOn, untilOn }: { readonly sets: number; readonly fromOn: string; readonly untilOn: string }): string {
  return `${countText(sets, "set")} ${fromOn === untilOn ? `on ${dayText(fromOn)}` : `from ${dayText(fromOn)} until ${dayText(untilOn)}`}`;
}

function sourceText(source: BookingView["source"]): string {
  switch (source) {
    case "typed":
      return "typed";
    case "sheet":
      return "from a sheet";
    case "past-hires":
      return "from past hires";
  }
}
