import { PageHead } from "../../../../components/page-head.tsx";
import { PaperLine } from "../../../../components/paper-line.tsx";
import { PrintButton } from "../../../../components/print-button.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { SetsTabs } from "../sets-tabs.tsx";
import { OutOfService } from "./out-of-service.tsx";

export const metadata = { title: "Out of service" };

export default async function OutOfServicePage() {
  await prefetch(trpc.sets.outOfService.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Out of service" lead="Sets that neither the desk nor the wash room can put right: why, and since when.">
        <PrintButton />
      </PageHead>
      <PaperLine />
      <SetsTabs />
      <OutOfService />
    </Prefetched>
  );
}
