import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { ModelPage } from "./model-page.tsx";

export const metadata = { title: "Model" };

export default async function OneModelPage({ params }: { params: Promise<{ id: string }> }) {
  const { id } = await params;
  await Promise.all([prefetch(trpc.models.list.queryOptions()), prefetch(trpc.models.history.queryOptions({ modelId: id })), prefetch(trpc.models.manual.queryOptions({ modelId: id }))]);
  return (
    <Prefetched>
      <ModelPage id={id} />
    </Prefetched>
  );
}
