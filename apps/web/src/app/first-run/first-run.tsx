"use client";
import { useMutation } from "@tanstack/react-query";
import { useRouter } from "next/navigation";
import { useState, useSyncExternalStore, type SubmitEvent } from "react";
import { Button } from "../../components/button.tsx";
import { Choices, Field, SelectField } from "../../components/field.tsx";
import { Notice } from "../../components/notice.tsx";
import { pinLength } from "../../components/pin-pad.tsx";
import type { Units } from "../../format.ts";
import { useTRPC } from "../../trpc/client.ts";
import { errorWords, fieldErrors, unitChoices } from "../../words.ts";

export function FirstRun({ timeZones }: { timeZones: readonly string[] }) {
  const trpc = useTRPC();
  const router = useRouter();
  const [system, setSystem] = useState<Units>("metric");
  const suggested = useBrowserZone();
  const [zone, setZone] = useState<string | null>(null);
  const begin = useMutation(
    trpc.session.firstRun.mutationOptions({
      onSuccess: () => {
        router.replace("/today");
        router.refresh();
      },
    }),
  );
  const wrong = fieldErrors(begin.error);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const text = (name: string) => String(form.get(name) ?? "").trim();
    begin.mutate({
      code: text("code"),
      siteName: text("siteName"),
      timeZone: text("timeZone"),
      units: system,
      managerName: text("managerName"),
      login: text("login"),
      password: String(form.get("password")),
      pin: text("pin"),
    });
  };

  return (
    <form method="post" className="grid gap-8" onSubmit={submit}>
      <Field label="Setup code" name="code" error={wrong["code"]} hint="From the window or the log where Hangrail was started." required autoCapitalize="none" spellCheck={false} maxLength={100} className="font-plate" />
      <section className="sheet grid gap-5">
        <h2>The centre</h2>
        <Field label="Name of the centre" name="siteName" error={wrong["siteName"]} required maxLength={100} />
        <SelectField label="Time zone" name="timeZone" error={wrong["timeZone"]} hint="Its midnight decides which day it is: due dates hang on it." value={zone ?? suggested ?? ""} onChange={(event) => setZone(event.target.value)} required>
          <option value="" disabled>
            Choose one
          </option>
          {(suggested === null || timeZones.includes(suggested) ? timeZones : [suggested, ...timeZones]).map((name) => (
            <option key={name} value={name}>
              {name.replaceAll("_", " ")}
            </option>
          ))}
        </SelectField>
        <Choices label="Units shown" name="units" choices={unitChoices} value={system} onChoose={setSystem} />
      </section>
      <section className="sheet grid gap-5">
        <h2>The first manager</h2>
        <Field label="Name" name="managerName" error={wrong["managerName"]} hint="As it shall stand in the record." required autoComplete="name" maxLength={100} />
        <Field label="Login name" name="login" error={wrong["login"]} required autoComplete="username" autoCapitalize="none" spellCheck={false} maxLength={100} />
        <Field label="Password" name="password" error={wrong["password"]} type="password" hint="At least 10 characters; several words are easy to keep." required minLength={10} maxLength={200} autoComplete="new-password" />
        <Field label="PIN" name="pin" error={wrong["pin"]} type="password" inputMode="numeric" hint="Six digits, for changing person on a shared tablet." required pattern={`[0-9]{${pinLength}}`} maxLength={pinLength} autoComplete="off" />
      </section>
      {begin.error === null ? null : (
        <Notice kind="stop" title="Not set up yet" announce>
          <p>{errorWords(begin.error)}</p>
        </Notice>
      )}
      <div>
        <Button type="submit" tone="primary" size="desk" pending={begin.isPending} pendingWords="Being set up…">
          Set up and begin
        </Button>
      </div>
    </form>
  );
}

/** The zone this browser runs in; null while the page is made on the server, whose zone is nobody's wish. */
function useBrowserZone(): string | null {
  return useSyncExternalStore(
    () => () => undefined,
    () => Intl.DateTimeFormat().resolvedOptions().timeZone,
    () => null,
  );
}
