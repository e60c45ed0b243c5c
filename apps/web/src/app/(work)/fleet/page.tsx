import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../trpc/server.tsx";
import { WayToReady } from "../models/way-to-ready.tsx";
import { BringIn } from "./bring-in.tsx";
import { PastImports } from "./past-imports.tsx";
import { TakeOut } from "./take-out.tsx";

export const metadata = { title: "Fleet in and out" };

export default async function FleetPage() {
  await Promise.all([prefetch(trpc.fleet.imports.queryOptions()), prefetch(trpc.fleet.columns.queryOptions())]);
  return (
    <Prefetched>
      <PageHead title="Fleet in and out" lead="Bring sets, their parts and their past work in from a spreadsheet, and take the fleet out in the same form." />
      <WayToReady afterImport />
      <div className="grid gap-8">
        <BringIn />
        <PastImports />
        <TakeOut />
      </div>
    </Prefetched>
  );
}
