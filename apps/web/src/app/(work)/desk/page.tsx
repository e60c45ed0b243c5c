import { PageHead } from "../../../components/page-head.tsx";
import { DeskTabs } from "./desk-tabs.tsx";
import { HandOut } from "./hand-out.tsx";
import { tagsOf } from "./tags-of.ts";

export const metadata = { title: "Desk" };

export default async function DeskPage({ searchParams }: { searchParams: Promise<{ sets?: string | string[] }> }) {
  const { sets } = await searchParams;
  return (
    <>
      <PageHead title="Hand out" lead="Three scans: set, hirer, confirm code. More sets make a party.">
        <DeskTabs />
      </PageHead>
      <HandOut first={tagsOf(sets)} />
    </>
  );
}
