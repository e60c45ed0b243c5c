import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { OneNotice } from "./one-notice.tsx";

export const metadata = { title: "Notice" };

export default async function NoticePage({ params }: { params: Promise<{ id: string }> }) {
  const { id } = await params;
  await prefetch(trpc.notices.one.queryOptions({ noticeId: id }));
  return (
    <Prefetched>
      <OneNotice id={id} />
    </Prefetched>
  );
}
