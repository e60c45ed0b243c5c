"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { Link } from "../../../components/link.tsx";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { Icon } from "../../../components/icon.tsx";
import { countText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import { gasText, inspectionText, kindWords, serviceText, type ModelRow } from "./limits-words.ts";

const column = createColumnHelper<TableFeatures, ModelRow>();

const columns = column.columns([
  column.accessor((model) => `${model.maker} ${model.name}`, {
    id: "model",
    header: "Model",
    cell: ({ row: { original } }) => (
      <Link href={`/models/${original.id}`} className="inline-flex min-h-12 items-center">
        {original.maker} {original.name}
      </Link>
    ),
  }),
  column.accessor((model) => kindWords(model.kind), { id: "kind", header: "Kind" }),
  column.display({ id: "limits", header: "Limits in force", enableSorting: false, cell: ({ row }) => <InForce model={row.original} /> }),
  column.accessor("sets", { header: "Sets here" }),
  column.accessor("components", { header: "Parts here" }),
]);

/** Every model the centre knows; those nobody can judge stand first, because their sets wait. */
export function ModelsList() {
  const trpc = useTRPC();
  const models = useQuery(trpc.models.list.queryOptions());
  return (
    <DataTable
      caption="Models"
      columns={columns}
      rows={models.data}
      rowKey={(model) => model.id}
      failed={models.error === null ? null : errorWords(models.error)}
      empty="No model is recorded yet. Add one, or bring the fleet in from a sheet: its models come with it."
    />
  );
}

function InForce({ model }: { model: ModelRow }) {
  if (model.limits === null) {
    return (
      <span className="flex gap-2 font-bold">
        <Icon name="octagon" size={22} />
        <span>
          Not judged: no limits accepted yet. {model.sets === 0 ? "No set waits for this." : model.sets === 1 ? "1 set waits for this." : `${countText(model.sets, "set")} wait for this.`}
        </span>
      </span>
    );
  }
  return (
    <>
      Service: {serviceText(model.limits)}. Inspection: {inspectionText(model.limits)}. Gas: {gasText(model.limits)}.
    </>
  );
}
