import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../trpc/server.tsx";
import { NoticesList } from "./notices-list.tsx";
import { PublishNotice } from "./publish-notice.tsx";

export const metadata = { title: "Notices" };

export default async function NoticesPage() {
  await prefetch(trpc.notices.list.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Notices" lead="What makers and public safety bodies say about models and serials. A part a notice names is held at once, wherever it is, also one that comes in later, until its remedy is recorded." />
      <NoticesList />
      <PublishNotice />
    </Prefetched>
  );
}
