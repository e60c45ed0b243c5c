import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../trpc/server.tsx";
import { Today } from "./today.tsx";

export const metadata = { title: "Today" };

export default async function TodayPage() {
  await prefetch(trpc.today.summary.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Today" lead="What matters today, your own work first." />
      <Today />
    </Prefetched>
  );
}
