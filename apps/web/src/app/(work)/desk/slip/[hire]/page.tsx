import { prefetch, Prefetched, trpc } from "../../../../../trpc/server.tsx";
import { HireSlip } from "./hire-slip.tsx";

export const metadata = { title: "Hire slip" };

export default async function SlipPage({ params }: { params: Promise<{ hire: string }> }) {
  const { hire } = await params;
  await prefetch(trpc.desk.slip.queryOptions({ hire }));
  return (
    <Prefetched>
      <HireSlip hire={hire} />
    </Prefetched>
  );
}
