"use client";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { useState, type SubmitEvent } from "react";
import { forgetAll, keptScans } from "../away/keep.ts";
import { UnsentScans } from "../away/unsent-scans.tsx";
import { useTRPC } from "../trpc/client.ts";
import { errorWords, rolesLine } from "../words.ts";
import { Button, ButtonLink } from "./button.tsx";
import { SelectField } from "./field.tsx";
import { Notice } from "./notice.tsx";
import type { SignedIn } from "./who.tsx";

/** What a person does about being signed in: change person or site, change the PIN, sign out. */
export default function PersonMenu({ who }: { who: SignedIn }) {
  const { signOut, leave, waits, stay, pending, error } = useLeave();
  return (
    <div className="grid gap-4">
      <p className="text-soft">
        {rolesLine(who.staff.roles)}
        {who.device === null ? null : <>. Device: {who.device.name}</>}
      </p>
      {who.device === null ? null : (
        <ButtonLink href="/sign-in?change=1" tone="primary">
          Change person
        </ButtonLink>
      )}
      {who.sites.length < 2 ? null : <SiteChoice who={who} />}
      <ButtonLink href="/centre/my-secret">Change my PIN or password</ButtonLink>
      <Button pending={pending} pendingWords="Signing out…" onClick={signOut}>
        Sign out
      </Button>
      {waits === 0 ? null : <UnsentScans waits={waits} pending={pending} onLeave={leave} onStay={stay} />}
      {error === null ? null : (
        <Notice kind="stop" announce>
          <p>{error}</p>
        </Notice>
      )}
    </div>
  );
}

function SiteChoice({ who }: { who: SignedIn }) {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const router = useRouter();
  const choose = useMutation(
    trpc.session.chooseSite.mutationOptions({
      onSuccess: () => {
        queryClient.clear();
        router.refresh();
      },
    }),
  );
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    choose.mutate({ siteId: String(new FormData(event.currentTarget).get("site")) });
  };
  return (
    <form method="post" className="grid gap-4" onSubmit={submit}>
      <SelectField label="Site" name="site" defaultValue={who.site.id} error={choose.error === null ? null : errorWords(choose.error)}>
        {who.sites.map((site) => (
          <option key={site.id} value={site.id}>
            {site.name}
          </option>
        ))}
      </SelectField>
      <Button type="submit" pending={choose.isPending}>
        Go to this site
      </Button>
    </form>
  );
}

/** Signs out; when scans of the wash room wait on this tablet it asks first, for they go with the sign-in. */
function useLeave() {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const router = useRouter();
  const [waits, setWaits] = useState(0);
  const act = useMutation(
    trpc.session.signOut.mutationOptions({
      onSuccess: async () => {
        queryClient.clear();
        await forgetAll().catch(() => undefined);
        router.replace("/sign-in");
        router.refresh();
      },
    }),
  );
  const signOut = async () => {
    const unsent = await keptScans().catch(() => 0);
    setWaits(unsent);
    if (unsent === 0) act.mutate();
  };
  return { signOut: () => void signOut(), leave: () => act.mutate(), waits, stay: () => setWaits(0), pending: act.isPending, error: act.error === null ? null : errorWords(act.error) };
}
