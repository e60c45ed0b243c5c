import { PageHead } from "../../../components/page-head.tsx";
import { HandOut } from "./hand-out.tsx";
import { tagsOf } from "./tags-of.ts";

export const metadata = { title: "Desk" };

export default async function DeskPage({ searchParams }: { searchParams: Promise<{ sets?: string | string[] }> }) {
  const { sets } = await searchParams;
  return (
    <>
      <PageHead title="Hand out" lead="Three scans: the set's tag, the hirer, the confirm code. More tags make a party. A hirer's code begins with H: and a name may be typed." />
      <HandOut first={tagsOf(sets)} />
    </>
  );
}
