"use client";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Confirm } from "../../../components/confirm.tsx";
import { Field } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Link } from "../../../components/link.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useRequestId } from "../../../components/use-request-id.ts";
import { countText, dayText, listText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { sinceText, violationText, type PlanNames } from "./plan-words.ts";
import type { PlanInWork, Work } from "./use-plan.ts";
import { weekAndDay } from "./weeks.ts";
import type { Outlook } from "./plan-types.ts";

type AcceptProps = { outlook: Outlook; names: PlanNames; state: PlanInWork; lookAgain: () => Promise<Outlook | undefined> };

/** Accepting a plan: what will be recorded is said first; a refusal says what changed and leaves every choice as it is. */
export function Accept({ outlook, names, state, lookAgain }: AcceptProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const [asking, setAsking] = useState(false);
  const [words, setWords] = useState("");
  const [looking, setLooking] = useState(false);
  const accept = useMutation(trpc.plan.accept.mutationOptions({ onSettled: () => setAsking(false), onSuccess: (answer) => afterAct(answer, () => answer.answer === "done" && state.putAway()) }));
  const { work, choices, lines } = state;
  if (work === null) return null;
  const answer = accept.data;
  const going = lines.filter(({ week }) => week !== null);
  const broken = work.plan.violations.length > 0;

  const send = () => {
    const fixed = new Set(choices.locks.map(({ setId }) => setId));
    accept.mutate({
      requestId,
      weeks: choices.weeks,
      fromOn: outlook.weeks[0] ?? "",
      dueBy: choices.dueBy,
      // The sequence of a set is the one it had when the plan was made on it: a change since is told, not passed over.
      lines: lines.map(({ setId, week }) => ({ setId, week, seq: work.seqs[setId] ?? 0, locked: fixed.has(setId) })),
      bound: work.proof?.bound ?? null,
      words: words.trim(),
    });
  };
  const again = async () => {
    setLooking(true);
    try {
      const now = await lookAgain();
      if (now === undefined) return;
      await state.lookAgain(now);
      // Another plan than the one refused: recording it is another act.
      renew();
      accept.reset();
    } finally {
      setLooking(false);
    }
  };

  const asItWas = (
    <>
      <p className="mb-3">Nothing was recorded. Your weeks and what you fixed are as they were.</p>
      <Button pending={looking} onClick={() => void again()}>
        Judge this plan by what is true now
      </Button>
    </>
  );
  if (answer?.answer === "done") return <Accepted orders={answer.orders} />;
  return (
    <section aria-labelledby="accept-plan" className="sheet screen-only mb-10 grid gap-4">
      <h2 id="accept-plan">Accept this plan</h2>
      <p className="max-w-prose">Accepting asks the bench for the work. You see what will be recorded before it is.</p>
      {answer?.answer === "stale" ? (
        <Notice kind="stop" title="Not accepted: sets changed meanwhile" announce>
          <ul className="list-disc ps-5">
            {answer.sets.map((set) => (
              <li key={set.id}>{sinceText(set.tag, set.since)}</li>
            ))}
          </ul>
          {asItWas}
        </Notice>
      ) : null}
      {answer?.answer === "breaks" ? (
        <Notice kind="stop" title="Not accepted: by what is true now it cannot be done" announce>
          <ul className="list-disc ps-5">
            {answer.violations.map((one) => (
              <li key={JSON.stringify(one)}>{violationText(one, names)}</li>
            ))}
          </ul>
          {asItWas}
        </Notice>
      ) : null}
      {answer?.answer === "week-passed" ? (
        <Notice kind="stop" title="Not accepted: a week has passed" announce>
          <p>The plan begins in a week that is over. Load the page and work it out again; what you fixed in weeks to come stays fixed.</p>
        </Notice>
      ) : null}
      {asking ? null : <WhyNot state={accept} />}
      <div className="max-w-2xl">
        <Field label="A word on it" value={words} maxLength={500} onChange={(event) => setWords(event.target.value)} />
      </div>
      <div>
        <Button tone="primary" size="desk" refusedBecause={whyNotYet(broken, going.length, state)} onClick={() => setAsking(true)}>
          <Icon name="tick" /> Accept…
        </Button>
      </div>
      <Confirm open={asking} title="Accept this plan?" act="Accept it" pending={accept.isPending} onConfirm={send} onCancel={() => setAsking(false)}>
        <Recorded work={work} names={names} lines={going} />
      </Confirm>
    </section>
  );
}

function whyNotYet(broken: boolean, going: number, { search, pricing }: PlanInWork): string | null {
  if (broken) return "The plan breaks a rule; it is said above.";
  if (going === 0) return "No set goes to the bench in this plan.";
  if (search?.why === "plan") return "A plan is being worked out.";
  return pricing.isPending ? "The last move is being judged." : null;
}

/** The work orders by week, and the kits to order. */
function Recorded({ work, names, lines }: { work: Work; names: PlanNames; lines: readonly { readonly setId: string; readonly week: number | null }[] }) {
  const byWeek = names.mondays.flatMap((monday, at) => {
    const tags = lines.filter(({ week }) => week === at).map(({ setId }) => names.set(setId));
    return tags.length === 0 ? [] : [{ monday, tags }];
  });
  const { toOrder } = work.plan;
  return (
    <div className="grid gap-3">
      <p>
        {countText(lines.length, "work order")} for the bench, in {countText(byWeek.length, "week")}. A plan accepted before is replaced: what of it is not yet taken to the bench follows this one.
      </p>
      {work.plan.score.shortage > 0 ? <p className="font-semibold">It leaves {countText(work.plan.score.shortage, "booking")} without a set.</p> : null}
      <ul className="grid gap-1" aria-label="Work orders by week">
        {byWeek.map(({ monday, tags }) => (
          <li key={monday}>
            <span className="font-semibold">{weekAndDay(monday).replace(/^w/, "W")}:</span> {listText(tags)}
          </li>
        ))}
      </ul>
      {toOrder.length === 0 ? (
        <p>No kit has to be ordered for it.</p>
      ) : (
        <p>
          Kits to order: {listText(toOrder.map(({ count, name, orderBy }) => `${count} × ${name}${orderBy === null ? "" : `, by ${dayText(orderBy)}`}`))}. Ordering them is not recorded by this; the list is kept.
        </p>
      )}
    </div>
  );
}

function Accepted({ orders }: { orders: number }) {
  return (
    <Notice kind="ok" title={`Accepted: ${countText(orders, "work order")}`} announce>
      <ul className="mt-1 flex flex-wrap gap-x-6">
        {[
          { href: "/bench", name: "To the bench" },
          { href: "/plan/accepted", name: "The weeks, to print" },
          { href: "/plan/kits", name: "Kits to order" },
          { href: "/plan/calendar", name: "In a calendar" },
        ].map(({ href, name }) => (
          <li key={href}>
            <Link href={href} className="inline-flex min-h-12 items-center font-semibold">
              {name}
            </Link>
          </li>
        ))}
      </ul>
    </Notice>
  );
}
