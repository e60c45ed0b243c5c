import { redirect } from "next/navigation";
import { PageHead } from "../../components/page-head.tsx";
import { PlainFrame } from "../../components/plain-frame.tsx";
import { whoAmI } from "../../trpc/server.tsx";
import { FirstRun } from "./first-run.tsx";

export const metadata = { title: "Set up" };

/** Shown once, on an empty record. */
export default async function FirstRunPage() {
  const { stage } = await whoAmI();
  if (stage !== "first-run") redirect("/");
  const timeZones = Intl.supportedValuesOf("timeZone");
  return (
    <PlainFrame>
      <PageHead title="Set up this centre" lead="Once: the centre's name and clock, and the first person who manages it. The setup code was printed where the server was started." />
      <FirstRun timeZones={timeZones} />
    </PlainFrame>
  );
}
