import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { Products } from "./products.tsx";

export const metadata = { title: "Products" };

export default async function ProductsPage() {
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role !== "desk") === true) await Promise.all([prefetch(trpc.washRoom.products.queryOptions()), prefetch(trpc.models.list.queryOptions())]);
  return (
    <Prefetched>
      <Products />
    </Prefetched>
  );
}
