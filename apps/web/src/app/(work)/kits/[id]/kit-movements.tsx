"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { Day, Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { movementText, type KitMovement } from "../kit-words.ts";

const column = createColumnHelper<TableFeatures, KitMovement>();

const columns = column.columns([
  column.accessor("at", { header: "When", cell: ({ row }) => <At at={row.original.at} /> }),
  column.accessor((row) => movementText(row), { id: "what", header: "What" }),
  column.accessor((row) => row.lot ?? "", { id: "lot", header: "Lot", cell: ({ row }) => row.original.lot ?? "not noted" }),
  column.display({ id: "where", header: "Where it went", cell: ({ row }) => <Where movement={row.original} /> }),
  column.accessor("by", { header: "By" }),
]);

/** Everything that came and went, the newest first, and the orders that are closed. */
export function KitMovements({ kitId }: { kitId: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.kits.movements.queryOptions({ kitId }));
  return (
    <section aria-labelledby="movements" className="grid gap-4">
      <h2 id="movements">What came and went</h2>
      <DataTable caption="Movements, the newest first" columns={columns} rows={found.data?.movements} rowKey={(row) => row.id} failed={found.error === null ? null : errorWords(found.error)} empty="Nothing has come or gone yet." />
      {found.data === undefined || found.data.closed.length === 0 ? null : (
        <details>
          <summary className="min-h-12 py-3 font-semibold">Closed orders: {found.data.closed.length}</summary>
          <ul className="grid gap-2">
            {found.data.closed.map((order) => (
              <li key={order.id}>
                {numberText(order.quantity)} ordered <Day day={order.orderedOn} />, expected <Day day={order.expectedOn} />; {numberText(order.received)} came. Closed by {order.closedBy}.
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function At({ at }: { at: string }) {
  const { site } = useWho();
  return <Instant at={at} timeZone={site.timeZone} />;
}

function Where({ movement: { component, tag, words } }: { movement: KitMovement }) {
  if (component === null) return words === "" ? "the shelf" : words;
  return (
    <span className="flex flex-wrap items-center gap-2">
      {component} {tag === null ? null : <Plate tag={tag} to={`/sets/${tag}`} />}
    </span>
  );
}
