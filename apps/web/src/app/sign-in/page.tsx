import { redirect } from "next/navigation";
import { PlainFrame } from "../../components/plain-frame.tsx";
import { whoAmI } from "../../trpc/server.tsx";
import { SignIn } from "./sign-in.tsx";

export const metadata = { title: "Sign in" };

type SignInPageProps = { searchParams: Promise<{ change?: string | string[] }> };

/** Signing in, and changing person on an enrolled device (`?change=1`). */
export default async function SignInPage({ searchParams }: SignInPageProps) {
  const who = await whoAmI();
  const changing = (await searchParams).change !== undefined;
  if (who.stage === "first-run") redirect("/first-run");
  if (who.stage === "signed-in" && !changing) redirect("/today");
  return (
    <PlainFrame>
      <SignIn siteName={who.site?.name ?? null} deviceName={who.device?.name ?? null} people={who.people} current={who.staff?.name ?? null} />
    </PlainFrame>
  );
}
