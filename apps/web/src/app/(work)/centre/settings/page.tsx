import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { Settings } from "./settings.tsx";

export const metadata = { title: "Settings" };

export default async function SettingsPage() {
  await prefetch(trpc.site.get.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Settings" lead="What this site decides for itself. Everything else comes from the makers' manuals." />
      <Settings />
    </Prefetched>
  );
}
