import { redirect } from "next/navigation";
import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { AfterRestore } from "./after-restore.tsx";

export const metadata = { title: "After a restore" };

export default async function RestoredPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.includes("manager") !== true) redirect("/centre/settings");
  await prefetch(trpc.restored.waiting.queryOptions());
  return (
    <Prefetched>
      <PageHead title="After a restore" lead="A backup knows nothing of what came after it. Every set stays until somebody has seen it." />
      <AfterRestore />
    </Prefetched>
  );
}
