import { redirect } from "next/navigation";
import { PageHead } from "../../../components/page-head.tsx";
import { prefetch, Prefetched, trpc, whoAmI } from "../../../trpc/server.tsx";
import { AddPerson } from "./add-person.tsx";
import { People } from "./people.tsx";

export const metadata = { title: "People" };

export default async function PeoplePage() {
  const { staff } = await whoAmI();
  // The list itself is refused to anybody else; this only leads to what they may see.
  if (staff?.roles.includes("manager") !== true) redirect("/centre/settings");
  await prefetch(trpc.people.list.queryOptions());
  return (
    <Prefetched>
      <PageHead title="People" lead="Who works here, what each may do, and which makers' sets each technician may service." />
      <div className="grid gap-8">
        <People />
        <AddPerson />
      </div>
    </Prefetched>
  );
}
