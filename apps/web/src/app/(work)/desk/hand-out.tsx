"use client";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useRef, useState } from "react";
import { Button } from "../../../components/button.tsx";
import { useConnection } from "../../../components/connection.ts";
import { Field } from "../../../components/field.tsx";
import { Notice } from "../../../components/notice.tsx";
import { ScanField } from "../../../components/scan-field.tsx";
import { useRequestId } from "../../../components/use-request-id.ts";
import { useHasRole, useWho } from "../../../components/who.tsx";
import { handOutWords, hireLine, whyNotYet } from "../../../desk-words.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Inputs } from "../../../trpc/types.ts";
import { errorWords } from "../../../words.ts";
import { ConfirmCard } from "./confirm-card.tsx";
import { keepDetails, readDetails, startDetails } from "./hire-details.ts";
import { HireForm } from "./hire-form.tsx";
import { HandedOut, Outcome } from "./outcome.tsx";
import { PartyList } from "./party-list.tsx";
import { readScan } from "./scan-rule.ts";
import { useHeard } from "./use-heard.ts";
import { useParty } from "./use-party.ts";

/** The hand-out: tag, hirer, confirm. Everything typed stays until the sets are recorded as out. */
export function HandOut({ first }: { first: readonly string[] }) {
  const { site, today } = useWho();
  const mayHandOut = useHasRole("desk");
  const lost = useConnection() === "lost";
  const [details, setDetails] = useState(() => startDetails(site.units));
  const { hire, problems } = readDetails(details, today, site.units);
  const party = useParty(first, hire);
  const [latest, setLatest] = useState<string | null>(first.at(-1) ?? null);
  const [hirer, setHirer] = useState("");
  const [contact, setContact] = useState("");
  const [done, setDone] = useState<HandedOutParty | null>(null);
  const { heard, refused, say, listen } = useHeard(party, latest, site.units);
  const button = useRef<HTMLDivElement>(null);
  const scans = useRef<HTMLDivElement>(null);
  const act = useHandOut(details, (handedOut) => {
    setDone(handedOut);
    setHirer("");
    setContact("");
    setLatest(null);
    party.start([]);
    listen();
  });

  const name = hirer.trim();
  const refusal = whyNotYet({ mayHandOut, lost, sets: party.sets, waitingFor: party.waitingFor, judging: party.judging, detailsRight: hire !== null, failed: party.error !== null, hirer: name });
  const handOut = () => {
    if (refusal !== null || hire === null || act.isPending) return say(refusal ?? "The hand-out is being recorded.");
    const sets = party.sets.map(({ setId, seq }) => ({ setId, seq }));
    act.start({ hirer: name, contact: contact.trim() || null, hire, sets }, party.sets.map(({ tag }) => tag));
  };
  const toScans = () => scans.current?.querySelector("input")?.focus();
  const toButton = () => button.current?.querySelector("button")?.focus();
  const takeHirer = (text: string) => {
    setHirer(text.slice(0, 120));
    // After this scan's own field has taken the focus back.
    setTimeout(toButton);
  };
  const onScan = (_: string, raw: string) => {
    const scan = readScan(raw);
    switch (scan.kind) {
      case "set":
        setDone(null);
        if (party.has(scan.tag)) say(`${scan.tag} is in this party already.`);
        else if (party.isFull) say("A party has 20 sets at most. Hand these out first.");
        else {
          listen();
          party.add(scan.tag);
        }
        return setLatest(scan.tag);
      case "hirer":
        setDone(null);
        say(`Hirer: ${scan.name}.`, "told");
        return takeHirer(scan.name);
      case "confirm":
        return done === null ? handOut() : say("That party is out already. Scan the next set.");
      case "unreadable":
        return say(`“${scan.text}” is neither a tag nor a hirer. Scan it again.`);
    }
  };

  return (
    <div className="grid gap-8 lg:grid-cols-[minmax(0,1fr)_20rem]">
      <div className="grid content-start gap-6">
        <div ref={scans}>
          <ScanField size="desk" act="Take" label="Scan a set, the hirer or the confirm code" onScan={onScan} heard={heard} refused={refused} />
        </div>
        {mayHandOut ? null : (
          <Notice kind="info">
            <p>Handing out needs the role desk hand.</p>
          </Notice>
        )}
        {done === null ? (
          <>
            {party.error === null ? null : (
              <Notice kind="stop" title="The sets could not be judged" announce>
                <p>{errorWords(party.error)}</p>
                <Button onClick={party.judgeAgain}>Try again</Button>
              </Notice>
            )}
            <PartyList
              party={party}
              latest={latest}
              hire={hire}
              onChoose={(held, tag) => {
                listen();
                party.replace(held, tag);
                setLatest(tag);
                toScans();
              }}
              onRemove={(tag) => {
                say(`${tag} is out of this party.`, "told");
                party.takeOut(tag);
                toScans();
              }}
            />
            <section aria-label="The hirer" className="sheet grid gap-4">
              <form
                className="grid gap-5 sm:grid-cols-2"
                onSubmit={(event) => {
                  event.preventDefault();
                  toButton();
                }}
              >
                <Field label="Name or booking" required maxLength={120} value={hirer} onChange={(event) => setHirer(event.target.value)} />
                <Field label="Phone or room" maxLength={200} value={contact} onChange={(event) => setContact(event.target.value)} />
                <button type="submit" hidden />
              </form>
              {hire === null ? null : <p>{hireLine(hire, today, site.units)}</p>}
              <div ref={button} className="grid gap-2">
                <Button tone="primary" size="desk" pending={act.isPending} pendingWords="Being recorded…" refusedBecause={refusal} onClick={handOut}>
                  {handOutWords(party.sets.length)}
                </Button>
                {refusal === null ? null : <p className="text-soft">{refusal}</p>}
              </div>
              <Outcome act={act} onStartAfresh={act.renew} />
            </section>
          </>
        ) : (
          <HandedOut {...done} onNext={() => setDone(null)} />
        )}
        <ConfirmCard />
      </div>
      <HireForm details={details} problems={problems} today={today} units={site.units} onChange={setDetails} />
    </div>
  );
}

type Order = Omit<Inputs["desk"]["handOut"], "requestId">;
export type HandedOutParty = { hire: string; hirer: string; tags: readonly string[]; backOn: string };

/** The act itself. Its number is kept until the answer is "done", so that trying again can never hand out twice. */
function useHandOut(details: Parameters<typeof keepDetails>[0], onDone: (party: HandedOutParty) => void) {
  const trpc = useTRPC();
  const queryClient = useQueryClient();
  const { site } = useWho();
  const { requestId, renew } = useRequestId();
  const tags = useRef<readonly string[]>([]);
  const mutation = useMutation(
    trpc.desk.handOut.mutationOptions({
      onSuccess: (answer, sent) => {
        void queryClient.invalidateQueries();
        if (answer.answer !== "done") return;
        keepDetails(details, site.units);
        renew();
        onDone({ hire: answer.hire, hirer: sent.hirer, tags: tags.current, backOn: sent.hire.backOn });
      },
    }),
  );
  return {
    isPending: mutation.isPending,
    error: mutation.error,
    answer: mutation.data,
    start: (order: Order, of: readonly string[]) => {
      tags.current = of;
      mutation.mutate({ requestId, ...order });
    },
    /** The same act once more, word for word. */
    again: () => mutation.variables !== undefined && mutation.mutate(mutation.variables),
    renew: () => {
      renew();
      mutation.reset();
    },
  };
}
export type HandOutAct = ReturnType<typeof useHandOut>;
