import { prefetch, Prefetched, trpc, whoAmI } from "../../../../trpc/server.tsx";
import { KitPage } from "./kit-page.tsx";

export const metadata = { title: "Kit" };

export default async function OneKitPage({ params }: { params: Promise<{ id: string }> }) {
  const { id } = await params;
  const { staff } = await whoAmI();
  if (staff?.roles.some((role) => role === "technician" || role === "manager") === true) {
    await Promise.all([prefetch(trpc.kits.list.queryOptions()), prefetch(trpc.kits.movements.queryOptions({ kitId: id }))]);
  }
  return (
    <Prefetched>
      <KitPage id={id} />
    </Prefetched>
  );
}
