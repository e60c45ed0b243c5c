"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf, WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Confirm } from "../../../../components/confirm.tsx";
import { Field } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../../trends/counted.tsx";
import type { CalendarFeed } from "../plan-types.ts";

/** Makes an address, shows it once, and takes addresses back. */
export function Calendars() {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [round, setRound] = useState(0);
  const feeds = useQuery(trpc.plan.calendars.queryOptions());
  const open = useMutation(trpc.plan.openCalendar.mutationOptions({ onSuccess: (answer) => afterAct(answer, () => setRound(round + 1)) }));
  const made = open.data?.answer === "done" ? open.data.path : null;
  return (
    <div className="grid gap-8">
      <section aria-labelledby="make-address" className="sheet grid gap-4">
        <h2 id="make-address">Make an address</h2>
        <p className="max-w-prose">Whoever has the address can read which sets go to the bench when. No hirer's name is in it. Make one for each program, so that one can be taken back without the others.</p>
        <ActForm key={round} act="Make an address" state={open} onSubmit={(form) => open.mutate({ words: textOf(form, "words") })}>
          <Field label="For whom or what" name="words" required maxLength={80} hint="For example: bench tablet." />
        </ActForm>
        {made === null ? null : <Made address={new URL(made, window.location.origin).href} />}
      </section>
      <section aria-labelledby="addresses" className="grid gap-3">
        <h2 id="addresses">Addresses made</h2>
        <Counted query={feeds}>
          {(list) =>
            list.length === 0 ? (
              <p>None yet.</p>
            ) : (
              <ul className="grid gap-3">
                {list.map((feed) => (
                  <Feed key={feed.id} feed={feed} />
                ))}
              </ul>
            )
          }
        </Counted>
      </section>
    </div>
  );
}

/** The address itself, this once. Copying may be forbidden on plain http; then it is marked, to be copied by hand. */
function Made({ address }: { address: string }) {
  const [said, setSaid] = useState<string | null>(null);
  const copy = async (field: HTMLInputElement | null) => {
    try {
      await navigator.clipboard.writeText(address);
      setSaid("Copied.");
    } catch {
      field?.focus();
      field?.select();
      setSaid("This browser does not let a page copy. The address is marked: copy it by hand.");
    }
  };
  return (
    <Notice kind="ok" title="Made. It is shown this once." announce>
      <div className="mt-2 grid gap-3">
        <input id="calendar-address" aria-label="Address" readOnly value={address} className="control font-plate" onFocus={(event) => event.target.select()} />
        <div>
          <Button onClick={() => void copy(document.querySelector("#calendar-address"))}>Copy the address</Button>
        </div>
        <p role="status">{said}</p>
        <p>Give it to the program as a calendar to subscribe to.</p>
      </div>
    </Notice>
  );
}

function Feed({ feed }: { feed: CalendarFeed }) {
  const trpc = useTRPC();
  const { site } = useWho();
  const afterAct = useAfterAct();
  const [asking, setAsking] = useState(false);
  const revoke = useMutation(trpc.plan.revokeCalendar.mutationOptions({ onSettled: () => setAsking(false), onSuccess: (answer) => afterAct(answer) }));
  return (
    <li className="sheet grid gap-2">
      <p className="font-semibold">{feed.words || "Without a word on it"}</p>
      <p className="text-soft">
        Made by {feed.madeBy} on <Instant at={feed.madeAt} timeZone={site.timeZone} />.
        {feed.revokedAt === null ? null : (
          <>
            {" "}
            Taken back on <Instant at={feed.revokedAt} timeZone={site.timeZone} />.
          </>
        )}
      </p>
      <WhyNot state={revoke} />
      {feed.revokedAt !== null ? null : (
        <div>
          <Button tone="danger" aria-label={`Take it back… ${feed.words}`} onClick={() => setAsking(true)}>
            Take it back…
          </Button>
        </div>
      )}
      <Confirm open={asking} title={`Take back the address of ${feed.words}?`} act="Take it back" tone="danger" pending={revoke.isPending} onConfirm={() => revoke.mutate({ feedId: feed.id })} onCancel={() => setAsking(false)}>
        <p>It answers no more from this moment. It cannot be given back; make another one instead.</p>
      </Confirm>
    </li>
  );
}
