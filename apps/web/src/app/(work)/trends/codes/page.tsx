import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { TrendsTabs } from "../trends-tabs.tsx";
import { CodesView } from "./codes-view.tsx";

export const metadata = { title: "Which faults" };

export default async function CodesPage() {
  await prefetch(trpc.trends.choices.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Which faults" lead="What goes wrong most often, so that the parts on the shelf and the eye at the desk are where they are needed." />
      <TrendsTabs />
      <CodesView />
    </Prefetched>
  );
}
