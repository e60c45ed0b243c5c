import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { SetsTabs } from "../sets-tabs.tsx";
import { Labels } from "./labels.tsx";

export const metadata = { title: "Labels" };

export default async function LabelsPage() {
  await prefetch(trpc.sets.tags.queryOptions());
  return (
    <Prefetched>
      <div className="screen-only">
        <PageHead title="Labels" lead="A code for the scanner and the tag for the eye, to stick on a set." />
        <SetsTabs />
      </div>
      <Labels />
    </Prefetched>
  );
}
