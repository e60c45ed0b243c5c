import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { SetPage } from "./set-page.tsx";

type Props = { params: Promise<{ tag: string }> };

async function tagOf(params: Props["params"]): Promise<string> {
  return decodeURIComponent((await params).tag).trim().toUpperCase();
}

export async function generateMetadata({ params }: Props) {
  return { title: `Set ${await tagOf(params)}` };
}

export default async function OneSetPage({ params }: Props) {
  const tag = await tagOf(params);
  await prefetch(trpc.sets.one.queryOptions({ tag }));
  return (
    <Prefetched>
      <SetPage tag={tag} />
    </Prefetched>
  );
}
