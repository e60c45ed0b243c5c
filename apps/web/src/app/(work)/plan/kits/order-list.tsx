"use client";
import type { OrderLine } from "@hangrail/api/plan-view";
import { useMutation, useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Link } from "../../../../components/link.tsx";
import { Day } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { numberText } from "../../../../format.ts";
import { useTRPC, useTRPCClient } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { download } from "../../fleet/files.ts";

/** What to order for the accepted plan, to send to whoever sells it. */
export function OrderList() {
  const trpc = useTRPC();
  const client = useTRPCClient();
  const { today } = useWho();
  const list = useQuery(trpc.plan.orderList.queryOptions());
  const sheet = useMutation({ mutationFn: () => client.plan.orderListSheet.query(), onSuccess: ({ fileName, file }) => download(fileName, file) });
  const columns = column.columns([
    column.accessor("name", { header: "Kit", cell: ({ row: { original } }) => <Link href={`/kits/${original.kit}`}>{original.name}</Link> }),
    column.accessor("count", { header: "To order", cell: ({ row }) => numberText(row.original.count) }),
    column.accessor("neededOn", { header: "Needed", cell: ({ row }) => <Day day={row.original.neededOn} /> }),
    column.accessor((row) => row.orderBy ?? "", { id: "by", header: "Order by", cell: ({ row: { original } }) => (original.orderBy === null ? "lead time not known" : original.orderBy < today ? <>at once: by the usual lead time it comes too late</> : <Day day={original.orderBy} today={today} />) }),
  ]);
  return (
    <>
      <DataTable caption="Kits to order" columns={columns} rows={list.data} rowKey={(row) => `${row.kit} ${row.neededOn}`} empty="Nothing has to be ordered for the accepted plan: what lies on the shelf and is on its way is enough." failed={list.error === null ? null : errorWords(list.error)} />
      <div className="screen-only mt-4 grid gap-3">
        <WhyNot state={sheet} />
        <div className="flex flex-wrap gap-4">
          <Button pending={sheet.isPending} onClick={() => sheet.mutate()}>
            Download as a sheet (CSV)
          </Button>
        </div>
        <p className="max-w-prose text-soft">
          What you order is noted at <Link href="/kits">Kits</Link>, with the day it is expected; then it leaves this list.
        </p>
      </div>
    </>
  );
}

const column = createColumnHelper<TableFeatures, OrderLine>();
