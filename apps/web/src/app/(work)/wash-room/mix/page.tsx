import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { MixBath } from "./mix-bath.tsx";

export const metadata = { title: "Mix a bath" };

export default async function MixPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.includes("wash-room") === true) await prefetch(trpc.washRoom.products.queryOptions());
  return (
    <Prefetched>
      <MixBath />
    </Prefetched>
  );
}
