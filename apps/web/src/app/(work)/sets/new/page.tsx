import { PageHead } from "../../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc } from "../../../../trpc/server.tsx";
import { RegisterSet } from "./register-set.tsx";

export const metadata = { title: "Register a new set" };

export default async function NewSetPage() {
  await prefetch(trpc.models.list.queryOptions());
  return (
    <Prefetched>
      <PageHead title="Register a new set" lead="New components, put together under a new tag. It is held until it is inspected, released and washed." />
      <RegisterSet />
    </Prefetched>
  );
}
