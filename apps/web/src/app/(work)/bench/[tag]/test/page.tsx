import { prefetch, Prefetched, trpc, whoAmI } from "../../../../../trpc/server.tsx";
import { BenchTest } from "./bench-test.tsx";

type Params = Promise<{ tag: string }>;

const tagIn = async (params: Params) => decodeURIComponent((await params).tag).toUpperCase();

export async function generateMetadata({ params }: { params: Params }) {
  return { title: `Bench test of ${await tagIn(params)}` };
}

export default async function BenchTestPage({ params }: { params: Params }) {
  const tag = await tagIn(params);
  const { staff } = await whoAmI();
  const reads = [prefetch(trpc.sets.one.queryOptions({ tag }))];
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) {
    reads.push(prefetch(trpc.benchTests.form.queryOptions({ tag })), prefetch(trpc.benchTests.past.queryOptions({ tag, before: null })));
  }
  await Promise.all(reads);
  return (
    <Prefetched>
      <BenchTest tag={tag} />
    </Prefetched>
  );
}
