import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { BenchSet } from "./bench-set.tsx";

type Params = Promise<{ tag: string }>;

const tagIn = async (params: Params) => decodeURIComponent((await params).tag).toUpperCase();

export async function generateMetadata({ params }: { params: Params }) {
  return { title: `${await tagIn(params)} at the bench` };
}

export default async function BenchSetPage({ params }: { params: Params }) {
  const tag = await tagIn(params);
  const { staff } = await whoAmI();
  const reads = [prefetch(trpc.sets.one.queryOptions({ tag }))];
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) reads.push(prefetch(trpc.bench.queue.queryOptions()), prefetch(trpc.benchTests.past.queryOptions({ tag, before: null })));
  await Promise.all(reads);
  return (
    <Prefetched>
      <BenchSet tag={tag} />
    </Prefetched>
  );
}
