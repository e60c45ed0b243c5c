"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Confirm } from "../../../components/confirm.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { Day } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { rolesLine } from "../../../words.ts";
import { AuthoriseForm } from "./authorise-form.tsx";
import { ResetForm } from "./reset-form.tsx";
import { RolesForm } from "./roles-form.tsx";

export type Person = Outputs["people"]["list"][number];

type Open = "roles" | "reset" | "authorise" | null;

/** One person: what they may do, and the manager's acts upon it. */
export function PersonSheet({ person }: { person: Person }) {
  const [open, setOpen] = useState<Open>(null);
  const done = () => setOpen(null);
  const part = (name: NonNullable<Open>, words: string) => (
    <Button aria-expanded={open === name} onClick={() => setOpen(open === name ? null : name)}>
      {words}
    </Button>
  );
  return (
    <section className="sheet grid gap-4" aria-label={person.name}>
      <div>
        <h2>{person.name}</h2>
        <p className="text-soft">
          Signs in as {person.login}: {rolesLine(person.roles)}
        </p>
      </div>
      <Authorisations person={person} />
      <div className="flex flex-wrap gap-4">
        {part("roles", "Roles")}
        {part("authorise", "Authorise for a maker")}
        {part("reset", "New PIN or password")}
        <CloseAccount person={person} />
      </div>
      {open === "roles" ? <RolesForm person={person} onDone={done} /> : null}
      {open === "authorise" ? <AuthoriseForm person={person} onDone={done} /> : null}
      {open === "reset" ? <ResetForm person={person} onDone={done} /> : null}
    </section>
  );
}

function Authorisations({ person }: { person: Person }) {
  const { today } = useWho();
  if (person.authorisations.length === 0) return null;
  return (
    <div>
      <h3>May service and release</h3>
      <ul>
        {person.authorisations.map((one) => (
          <li key={`${one.maker} ${one.from}`}>
            <strong>{one.maker}</strong>
            {one.oxygenClean ? ", oxygen-clean too" : ""}, from <Day day={one.from} /> until <Day day={one.until} today={today} />
            {one.until < today ? <strong>: run out</strong> : null}. {one.evidence}
          </li>
        ))}
      </ul>
    </div>
  );
}

function CloseAccount({ person }: { person: Person }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { staff } = useWho();
  const [asking, setAsking] = useState(false);
  const close = useMutation(trpc.people.close.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => setAsking(false)) }));
  return (
    <>
      <Button tone="danger" refusedBecause={person.id === staff.id ? "You cannot close your own account." : null} onClick={() => setAsking(true)}>
        Close account
      </Button>
      <Confirm open={asking} title={`Close the account of ${person.name}?`} act="Close this account" tone="danger" pending={close.isPending} onConfirm={() => close.mutate({ staffId: person.id })} onCancel={() => setAsking(false)}>
        <p>They are signed out everywhere at once and cannot sign in again. What they signed stays signed.</p>
        <WhyNot state={close} />
      </Confirm>
    </>
  );
}
