import { redirect } from "next/navigation";
import type { ReactNode } from "react";
import { AppFrame } from "../../components/app-frame.tsx";
import { WhoProvider } from "../../components/who.tsx";
import { whoAmI } from "../../trpc/server.tsx";

/**
 * Every working screen stands in here, and only for somebody who is signed in. This
 * keeps strangers from an empty frame; what each person may read and do is asked
 * again by every procedure.
 */
export default async function WorkLayout({ children }: { children: ReactNode }) {
  const who = await whoAmI();
  if (who.stage === "first-run") redirect("/first-run");
  const { staff, site } = who;
  if (who.stage !== "signed-in" || staff === null || site === null) redirect("/sign-in");
  return (
    <WhoProvider who={{ ...who, staff, site }}>
      <AppFrame>{children}</AppFrame>
    </WhoProvider>
  );
}
