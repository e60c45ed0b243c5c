import { redirect } from "next/navigation";
import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { Checkpoints } from "./checkpoints.tsx";
import { VerifyRecord } from "./verify-record.tsx";

export const metadata = { title: "Record" };

export default async function RecordPage() {
  const { staff } = await whoAmI();
  // The record itself is refused to anybody else; this only leads to what they may see.
  if (staff?.roles.includes("manager") !== true) redirect("/today");
  await prefetch(trpc.record.checkpoints.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Record" lead="Every act is an entry that carries the hash of the one before it. Nothing in it can be changed, taken out or put in without this page telling where." />
      <div className="grid gap-8">
        <VerifyRecord />
        <Checkpoints />
      </div>
    </Prefetched>
  );
}
