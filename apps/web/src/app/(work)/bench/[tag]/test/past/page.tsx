import { prefetch, Prefetched, trpc, whoAmI } from "../../../../../../trpc/server.tsx";
import { AllTests } from "./all-tests.tsx";

type Params = Promise<{ tag: string }>;

const tagIn = async (params: Params) => decodeURIComponent((await params).tag).toUpperCase();

export async function generateMetadata({ params }: { params: Params }) {
  return { title: `Bench tests of ${await tagIn(params)}` };
}

export default async function PastTestsPage({ params }: { params: Params }) {
  const tag = await tagIn(params);
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) await prefetch(trpc.benchTests.past.queryOptions({ tag, before: null }));
  return (
    <Prefetched>
      <AllTests tag={tag} />
    </Prefetched>
  );
}
