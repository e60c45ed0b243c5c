"use client";
import { useQuery, useQueryClient } from "@tanstack/react-query";
import { createContext, use, useEffect, useEffectEvent, useRef, type ReactNode } from "react";
import { useTRPC } from "../trpc/client.ts";
import type { WhoAmI } from "../trpc/types.ts";
import type { StaffRole } from "../words.ts";
import { ButtonLink } from "./button.tsx";

export type SignedIn = WhoAmI & { staff: NonNullable<WhoAmI["staff"]>; site: NonNullable<WhoAmI["site"]> };

const Who = createContext<SignedIn | null>(null);

/** A tablet stays on overnight: the day, the clock's state and the session are asked for again this often. */
const askAgainAfter = 60_000;

/**
 * Tells the screens below who is at them, where, and which day it is there. When the
 * session has ended meanwhile it says so, over the screen and what was typed on it.
 */
export function WhoProvider({ who, children }: { who: SignedIn; children: ReactNode }) {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const query = trpc.session.whoAmI.queryOptions();
  const now = useQuery({ ...query, initialData: who, refetchInterval: askAgainAfter });
  // The page was made anew, for another person or another site: its answer is the newest.
  const keep = useEffectEvent((fresh: SignedIn) => queryClient.setQueryData(query.queryKey, fresh));
  useEffect(() => {
    keep(who);
  }, [who]);

  const present = signedIn(now.data);
  return (
    <Who value={present ?? who}>
      {children}
      <SignedOut open={present === null} />
    </Who>
  );
}

/** The answer for somebody who is signed in, or null. */
function signedIn(who: WhoAmI): SignedIn | null {
  const { staff, site } = who;
  return who.stage === "signed-in" && staff !== null && site !== null ? { ...who, staff, site } : null;
}

function SignedOut({ open }: { open: boolean }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (open && dialog.current?.open === false) dialog.current.showModal();
    if (!open) dialog.current?.close();
  }, [open]);
  return (
    <dialog ref={dialog} aria-labelledby="signed-out" className="sheet w-[min(36rem,calc(100vw-2rem))] text-ink">
      <h2 id="signed-out">You are signed out</h2>
      <p className="mt-3 mb-6">Your time ran out, or somebody ended it. What was not recorded yet has to be entered again.</p>
      <ButtonLink href="/sign-in" tone="primary" size="desk">
        Sign in
      </ButtonLink>
    </dialog>
  );
}

/** Who is signed in, the site with its units and zone, and the site's own day. */
export function useWho(): SignedIn {
  const who = use(Who);
  if (who === null) throw new Error("useWho was called outside the working screens, where nobody is signed in.");
  return who;
}

/** Whether the person has the role: for what to show first. What is allowed, the procedures decide. */
export function useHasRole(role: StaffRole): boolean {
  return useWho().staff.roles.includes(role);
}
