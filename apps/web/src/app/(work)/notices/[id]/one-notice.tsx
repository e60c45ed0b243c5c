"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { TextField } from "../../../../components/field.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { StateMark } from "../../../../components/state-mark.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { countText, dayText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { rangeText, whyWords, type Match, type OneNotice as Shown } from "../notice-words.ts";

/** One notice: what it says, which sets to call back, and each part until its remedy is recorded. */
export function OneNotice({ id }: { id: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.notices.one.queryOptions({ noticeId: id }));
  if (found.error !== null) {
    return (
      <>
        <PageHead title="Notice" />
        <Notice kind="stop" title="Could not be read">
          <p>{errorWords(found.error)}</p>
        </Notice>
      </>
    );
  }
  if (found.data === undefined) return <p role="status">Being read…</p>;
  return <Said notice={found.data} />;
}

function Said({ notice }: { notice: Shown }) {
  const open = notice.matches.filter(({ cleared }) => cleared === null);
  const cleared = notice.matches.filter((match) => match.cleared !== null);
  const out = open.filter((match) => match.set?.out != null);
  return (
    <div className="grid gap-8">
      <PageHead title={`${notice.title} (${notice.reference})`} lead={`Published ${dayText(notice.publishedOn)}, recorded by ${notice.enteredBy}.`}>
        <ButtonLink href="/notices">Every notice</ButtonLink>
      </PageHead>
      <div className="grid max-w-prose gap-2">
        <p>
          <strong>Hazard:</strong> {notice.hazard}
        </p>
        <p>
          <strong>Remedy:</strong> {notice.remedy}
        </p>
        <p className="text-soft">{notice.ranges.map(rangeText).join("; ") || "Serials as listed when it was recorded"}.</p>
        {notice.elsewhere === 0 ? null : <p>{countText(notice.elsewhere, "part")} of other sites {notice.elsewhere === 1 ? "is" : "are"} held too.</p>}
      </div>
      {out.length === 0 ? null : (
        <section aria-labelledby="call-back" className="sheet grid gap-3">
          <h2 id="call-back" className="flex gap-2">
            <Icon name="triangle" /> To call back now
          </h2>
          <ul className="grid gap-2">
            {out.map((match) => (
              <CallBack key={match.component} match={match} seesHirers={notice.seesHirers} />
            ))}
          </ul>
        </section>
      )}
      <section aria-labelledby="held" className="grid gap-3">
        <h2 id="held">{open.length === 0 ? "Nothing here is held by it" : "Held until seen to"}</h2>
        <ul className="grid gap-4">
          {open.map((match) => (
            <OpenMatch key={match.component} notice={notice.id} match={match} />
          ))}
        </ul>
      </section>
      {cleared.length === 0 ? null : (
        <section aria-labelledby="cleared" className="grid gap-3">
          <h2 id="cleared">Seen to</h2>
          <ul className="grid gap-2">
            {cleared.map((match) => (
              <li key={match.component} className="border-t border-hairline pt-2">
                {partText(match)}: {match.cleared?.remedy} ({match.cleared?.by})
              </li>
            ))}
          </ul>
        </section>
      )}
    </div>
  );
}

const partText = (match: Match) => `${match.model}, serial ${match.serial ?? "unknown"}${match.set === null ? ", on the shelf" : ` in ${match.set.tag}`}`;

function CallBack({ match, seesHirers }: { match: Match; seesHirers: boolean }) {
  const { set } = match;
  if (set === null || set.out === null) return null;
  const who = [set.out.hirer, set.out.contact].filter((one) => one !== null).join(", ");
  return (
    <li className="flex flex-wrap items-center gap-x-4 border-t border-hairline pt-2">
      <Plate tag={set.tag} to={`/sets/${set.tag}`} />
      <span>
        due back {dayText(set.out.backOn)}
        {set.out.late ? ", late" : ""}
        {seesHirers ? (who === "" ? "" : `, ${who}`) : "; the desk has the hirer's name"}
      </span>
    </li>
  );
}

function OpenMatch({ notice, match }: { notice: string; match: Match }) {
  const trpc = useTRPC();
  const { staff } = useWho();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [asking, setAsking] = useState(false);
  const clear = useMutation(
    trpc.notices.clear.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          setAsking(false);
        }),
    }),
  );
  const near = match.why === "near-miss";
  return (
    <li className="sheet grid gap-3">
      <p className="flex flex-wrap items-center gap-3">
        {match.set === null ? <strong>On the shelf</strong> : <Plate tag={match.set.tag} to={`/sets/${match.set.tag}`} />}
        {match.set === null ? null : <StateMark state={match.set.state} />}
      </p>
      <p className="flex gap-2">
        <Icon name={near ? "info" : "octagon"} size={22} />
        <span>
          {match.model}, serial {match.serial ?? "unknown"}: {whyWords(match.why)}.
        </span>
      </p>
      {!staff.roles.includes("technician") ? null : asking ? (
        <ActForm act="Record it" state={clear} onSubmit={(form) => clear.mutate({ requestId, noticeId: notice, componentId: match.component, remedy: textOf(form, "remedy") })}>
          <TextField label={near ? "What the look showed, or the remedy done" : "Remedy done"} name="remedy" required maxLength={600} />
        </ActForm>
      ) : (
        <div>
          <Button refusedBecause={match.set?.out == null ? null : "It is out: the remedy is recorded when it is back."} onClick={() => setAsking(true)}>
            {near ? "Looked at…" : "Remedy done…"}
          </Button>
        </div>
      )}
    </li>
  );
}
