import { prefetch, Prefetched, trpc } from "../../../../../trpc/server.tsx";
import { SetLife } from "./set-life.tsx";

type Props = { params: Promise<{ tag: string }> };

async function tagOf(params: Props["params"]): Promise<string> {
  return decodeURIComponent((await params).tag).trim().toUpperCase();
}

export async function generateMetadata({ params }: Props) {
  return { title: `The life of ${await tagOf(params)}` };
}

export default async function SetLifePage({ params }: Props) {
  const tag = await tagOf(params);
  await prefetch(trpc.setLife.picture.queryOptions({ tag }));
  return (
    <Prefetched>
      <SetLife tag={tag} />
    </Prefetched>
  );
}
