import { prefetch, Prefetched, trpc } from "../../../../../trpc/server.tsx";
import { ServiceRecord } from "./service-record.tsx";

type Props = { params: Promise<{ tag: string }> };

async function tagOf(params: Props["params"]): Promise<string> {
  return decodeURIComponent((await params).tag).trim().toUpperCase();
}

export async function generateMetadata({ params }: Props) {
  return { title: `Service record of ${await tagOf(params)}` };
}

export default async function ServiceRecordPage({ params }: Props) {
  const tag = await tagOf(params);
  await prefetch(trpc.setLife.record.queryOptions({ tag }));
  return (
    <Prefetched>
      <ServiceRecord tag={tag} />
    </Prefetched>
  );
}
