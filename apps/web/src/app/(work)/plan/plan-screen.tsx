"use client";
import { useQuery } from "@tanstack/react-query";
import { useSearchParams } from "next/navigation";
import { useMemo } from "react";
import { Link } from "../../../components/link.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useHasRole } from "../../../components/who.tsx";
import { countText, dayText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { Counted } from "../trends/counted.tsx";
import { Accept } from "./accept.tsx";
import { Cover, Load } from "./cover.tsx";
import { readSpan } from "./plan-address.ts";
import { kindText, missingText, type PlanNames } from "./plan-words.ts";
import { SetRows } from "./set-rows.tsx";
import { Unplanned } from "./unplanned.tsx";
import { usePlan } from "./use-plan.ts";
import { Verdict } from "./verdict.tsx";
import { WhatIfPart } from "./what-if.tsx";
import { WorkOut } from "./work-out.tsx";
import type { Outlook } from "./plan-types.ts";

/** The weeks ahead, and the plan for them. */
export function PlanScreen() {
  const trpc = useTRPC();
  const params = useSearchParams();
  const { weeks, dueBy } = readSpan(new URLSearchParams(params));
  const outlook = useQuery(trpc.plan.outlook.queryOptions({ weeks }));
  return (
    <Counted query={outlook}>
      {(found) => <Weeks key={`${weeks} ${dueBy} ${found.weeks[0]}`} outlook={found} lookAgain={async () => (await outlook.refetch()).data} />}
    </Counted>
  );
}

export function namesOf(outlook: Pick<Outlook, "weeks" | "sets" | "unplanned" | "kinds" | "kits">): PlanNames {
  const tags = new Map([...outlook.sets, ...outlook.unplanned].map(({ id, tag }) => [id, tag]));
  const kinds = new Map(outlook.kinds.map((kind) => [kind.id, kindText(kind)]));
  const kits = new Map(outlook.kits.map(({ id, name }) => [id, name]));
  return { mondays: outlook.weeks, set: (id) => tags.get(id) ?? "no longer here", booking: (id) => kinds.get(id) ?? "a kind no longer booked", kit: (id) => kits.get(id) ?? "a kit" };
}

function Weeks({ outlook, lookAgain }: { outlook: Outlook; lookAgain: () => Promise<Outlook | undefined> }) {
  const names = useMemo(() => namesOf(outlook), [outlook]);
  const state = usePlan(outlook);
  const mayPlan = useHasRole("manager");
  return (
    <>
      <Before outlook={outlook} names={names} />
      {mayPlan ? <WorkOut outlook={outlook} state={state} /> : null}
      <Verdict outlook={outlook} names={names} state={state} />
      {state.work === null ? null : <Accept outlook={outlook} names={names} state={state} lookAgain={lookAgain} />}
      <Cover outlook={outlook} plan={state.work?.plan ?? null} />
      <Load outlook={outlook} plan={state.work?.plan ?? null} kitName={names.kit} />
      <SetRows outlook={outlook} names={names} state={state} />
      <WhatIfPart outlook={outlook} names={names} state={state} />
      <Unplanned outlook={outlook} />
    </>
  );
}

/** What is true before any plan: what is missing, what is accepted already, which days are at risk. */
function Before({ outlook, names }: { outlook: Outlook; names: PlanNames }) {
  const { accepted, daysAtRisk, missing } = outlook;
  const [first] = daysAtRisk;
  const changed = accepted?.lines.filter(({ since, nowLate }) => nowLate || since.length > 0).length ?? 0;
  return (
    <div className="mb-6 grid gap-4">
      {first === undefined ? null : (
        <Notice kind="warn" title={`Were nothing serviced, ${countText(new Set(daysAtRisk.map(({ on }) => on)).size, "day")} would be short of sets`}>
          <p>
            The first is {dayText(first.on)}: {countText(first.short, "set")} short, {names.booking(first.kind)}. <Link href="/plan/bookings">All of them, with the bookings</Link>
          </p>
        </Notice>
      )}
      {accepted === null ? null : (
        <p className="max-w-prose">
          A plan of {countText(accepted.lines.length, "set")} was accepted by {accepted.acceptedBy}
          {changed === 0 ? ", and nothing has changed for them since" : `; ${countText(changed, "set")} of it changed since`}. <Link href="/plan/accepted">Look at it</Link>
        </p>
      )}
      {missing.length === 0 ? null : (
        <Notice kind="info" title="What this plan does not know">
          <ul className="list-disc ps-5">
            {missing.map((fact) => (
              <li key={fact.missing}>{missingText(fact)}</li>
            ))}
          </ul>
        </Notice>
      )}
    </div>
  );
}
