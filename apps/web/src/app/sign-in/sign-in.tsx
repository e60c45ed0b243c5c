"use client";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { useEffect, useState, type SubmitEvent } from "react";
import { forgetButScans } from "../../away/keep.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Field } from "../../components/field.tsx";
import { Icon } from "../../components/icon.tsx";
import { Notice } from "../../components/notice.tsx";
import { PinPad } from "../../components/pin-pad.tsx";
import { useTRPC } from "../../trpc/client.ts";
import { errorWords } from "../../words.ts";

type Person = { id: string; name: string };

type SignInProps = {
  siteName: string | null;
  /** Null on a device the manager has not enrolled: then only name and password will do. */
  deviceName: string | null;
  people: readonly Person[];
  /** Who is still signed in, when this is a change of person. */
  current: string | null;
};

export function SignIn({ siteName, deviceName, people, current }: SignInProps) {
  const nobody = current === null;
  // Somebody's time ran out: what the tablet kept for them goes, all but scans that nobody has sent.
  useEffect(() => {
    if (nobody) forgetButScans().catch(() => undefined);
  }, [nobody]);
  const byPin = deviceName !== null && people.length > 0;
  const [way, setWay] = useState<"pin" | "password">(byPin ? "pin" : "password");
  return (
    <div className="grid gap-6">
      <div>
        <h1>{current === null ? "Sign in" : "Change person"}</h1>
        <p className="text-soft">
          {siteName}
          {deviceName === null ? null : ` · ${deviceName}`}
        </p>
      </div>
      {way === "pin" ? <ByPin people={people} /> : <ByPassword />}
      <div className="flex flex-wrap gap-4">
        {byPin ? <Button onClick={() => setWay(way === "pin" ? "password" : "pin")}>{way === "pin" ? "Use name and password" : "Use my PIN"}</Button> : null}
        {current === null ? null : <ButtonLink href="/today">Stay signed in as {current}</ButtonLink>}
      </div>
    </div>
  );
}

/** What the person before saw is not the next one's to see. */
function useArrive() {
  const queryClient = useQueryClient();
  const router = useRouter();
  return () => {
    queryClient.clear();
    router.replace("/today");
    router.refresh();
  };
}

function ByPin({ people }: { people: readonly Person[] }) {
  const trpc = useTRPC();
  const [chosen, setChosen] = useState<Person | null>(null);
  const change = useMutation(trpc.session.switchPerson.mutationOptions({ onSuccess: useArrive() }));

  if (chosen === null) {
    return (
      <section aria-labelledby="who">
        <h2 id="who" className="mb-3">
          Who are you?
        </h2>
        <ul className="grid grid-cols-[repeat(auto-fill,minmax(14rem,1fr))] gap-4">
          {people.map((person) => (
            <li key={person.id} className="grid">
              <Button size="desk" onClick={() => setChosen(person)}>
                <Icon name="person" /> {person.name}
              </Button>
            </li>
          ))}
        </ul>
      </section>
    );
  }
  return (
    <section className="grid gap-4">
      <h2>{chosen.name}</h2>
      <PinPad label="Your PIN" pending={change.isPending} error={change.error === null ? null : errorWords(change.error)} onPin={(pin) => change.mutate({ staffId: chosen.id, pin })} />
      <div>
        <Button
          onClick={() => {
            change.reset();
            setChosen(null);
          }}
        >
          I am somebody else
        </Button>
      </div>
    </section>
  );
}

function ByPassword() {
  const trpc = useTRPC();
  const arrive = useArrive();
  const signIn = useMutation(trpc.session.signIn.mutationOptions({ onSuccess: arrive }));
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    signIn.mutate({ login: String(form.get("login")), password: String(form.get("password")) });
  };
  return (
    <form method="post" className="sheet grid gap-5" onSubmit={submit}>
      <Field label="Login name" name="login" autoComplete="username" autoCapitalize="none" spellCheck={false} required maxLength={100} />
      <Field label="Password" name="password" type="password" autoComplete="current-password" required maxLength={200} />
      {signIn.error === null ? null : (
        <Notice kind="stop" title="Not signed in" announce>
          <p>{errorWords(signIn.error)}</p>
        </Notice>
      )}
      <div>
        <Button type="submit" tone="primary" size="desk" pending={signIn.isPending} pendingWords="Signing in…">
          Sign in
        </Button>
      </div>
    </form>
  );
}
