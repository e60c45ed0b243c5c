import { redirect } from "next/navigation";
import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { Devices } from "./devices.tsx";
import { EnrolDevice } from "./enrol-device.tsx";

export const metadata = { title: "Devices" };

export default async function DevicesPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.includes("manager") !== true) redirect("/centre/settings");
  await prefetch(trpc.people.devices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Devices" lead="On an enrolled tablet people change over by name and PIN. A lost one is shut out here." />
      <div className="grid gap-8">
        <EnrolDevice />
        <Devices />
      </div>
    </Prefetched>
  );
}
