"use client";
import { faultOf, isFaultCode } from "@hangrail/rules/faults";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useMemo, useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Link } from "../../../../components/link.tsx";
import { countText, dayText, numberText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { Question } from "../question.tsx";
import { useAbout } from "../use-about.ts";

type Behind = Outputs["trends"]["behind"]["rows"][number];
const column = createColumnHelper<TableFeatures, Behind>();
const outcome = ({ outcome: found, confirmed }: Behind) => (found === "mended" ? "mended" : found === "not-found" ? "looked for and not found" : confirmed ? "confirmed, still open" : "still open");

const columnsFor = (sites: boolean) => column.columns([
  column.accessor("tag", {
    header: "Set",
    cell: ({ row: { original } }) => (
      <Link href={`/sets/${original.tag}`} className="inline-flex min-h-12 items-center">
        {original.tag}
      </Link>
    ),
  }),
  column.accessor("on", { header: "Reported", cell: ({ row }) => dayText(row.original.on) }),
  column.accessor((row) => (isFaultCode(row.code) ? `${row.code}: ${faultOf(row.code).words}` : row.code), { id: "fault", header: "Fault" }),
  column.accessor("model", { header: "Part", cell: ({ row: { original } }) => `${original.model}${original.serial === null ? "" : `, serial ${original.serial}`}` }),
  column.accessor("words", { header: "In the finder's words" }),
  column.accessor(outcome, { id: "outcome", header: "What became of it" }),
  ...(sites ? [column.accessor("site", { header: "Site" })] : []),
]);

export function FaultsBehind() {
  const trpc = useTRPC();
  const { about } = useAbout();
  const several = about.sites !== "here";
  const columns = useMemo(() => columnsFor(several), [several]);
  const question = JSON.stringify(about);
  // Another question begins on its first page.
  const [at, setAt] = useState({ question, page: 0 });
  const page = at.question === question ? at.page : 0;
  const setPage = (next: number) => setAt({ question, page: next });
  const found = useQuery(trpc.trends.behind.queryOptions({ ...about, page }));
  const total = found.data?.total ?? 0;
  const size = found.data?.size ?? 50;
  return (
    <>
      <Question />
      <DataTable caption={found.data === undefined ? "Faults" : countText(total, "fault")} columns={columns} rows={found.data?.rows} rowKey={(row) => row.id} failed={found.error === null ? null : errorWords(found.error)} empty="No fault was counted for this question." wide />
      {total <= size ? null : (
        <nav aria-label="Pages of the faults" className="screen-only mt-4 flex flex-wrap items-center gap-4">
          <Button refusedBecause={page === 0 ? "This is the first page." : null} onClick={() => setPage(page - 1)}>
            Later ones
          </Button>
          <p role="status">
            Page {numberText(page + 1)} of {numberText(Math.ceil(total / size))}
          </p>
          <Button refusedBecause={(page + 1) * size >= total ? "This is the last page." : null} onClick={() => setPage(page + 1)}>
            Earlier ones
          </Button>
        </nav>
      )}
    </>
  );
}
