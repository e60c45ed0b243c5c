"use client";
import { useQuery } from "@tanstack/react-query";
import { Link } from "../../../../components/link.tsx";
import { useState, type ReactNode } from "react";
import { ButtonLink } from "../../../../components/button.tsx";
import { HoldList } from "../../../../components/hold-list.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PaperLine } from "../../../../components/paper-line.tsx";
import { StateMark } from "../../../../components/state-mark.tsx";
import { Day, Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { contextOf } from "../../../../desk-words.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { AssemblyCard } from "./assembly-card.tsx";
import { EvidenceCard } from "./evidence-card.tsx";
import { BreathTest } from "./breath-test.tsx";
import { setDueLines } from "../due-words.ts";
import { OpenFaults } from "./open-faults.tsx";
import { PartCards } from "./part-cards.tsx";
import { PastFittings } from "./past-fittings.tsx";
import { RetireSet } from "./retire-set.tsx";
import { SetLife } from "./set-life.tsx";
import { TransferSet } from "./transfer-set.tsx";

export type OneSet = Outputs["sets"]["one"];

/** Everything known of one set, and what may be done with it from here. */
export function SetPage({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const [movedTo, setMovedTo] = useState<string | null>(null);
  const found = useQuery(trpc.sets.one.queryOptions({ tag }));
  if (movedTo !== null) {
    return (
      <Away title={`${tag} is on its way`}>
        <Notice kind="ok" announce>
          <p>
            {tag} belongs to {movedTo} now. There it is washed and released before it goes out.
          </p>
        </Notice>
      </Away>
    );
  }
  if (found.error !== null) {
    return (
      <Away title={`Set ${tag}`}>
        <Notice kind="stop" title="Could not be shown" announce>
          <p>{errorWords(found.error)}</p>
        </Notice>
      </Away>
    );
  }
  if (found.data === undefined) return <p role="status">Being read…</p>;
  return <Shown set={found.data} onMoved={setMovedTo} />;
}

function Away({ title, children }: { title: string; children: ReactNode }) {
  return (
    <div className="grid gap-6">
      <h1>{title}</h1>
      {children}
      <div>
        <ButtonLink href="/sets">To every set</ButtonLink>
      </div>
    </div>
  );
}

function Shown({ set, onMoved }: { set: OneSet; onMoved: (siteName: string) => void }) {
  return (
    <div className="grid gap-8">
      <Head set={set} />
      <Standing set={set} />
      <OpenFaults set={set} />
      <EvidenceCard setId={set.setId} tag={set.tag} sealed={set.state === "evidence-lock"} />
      <PartCards set={set} />
      <AssemblyCard setId={set.setId} />
      <SetLife setId={set.setId} />
      <PastFittings fittings={set.fittings} />
      {set.state === "retired" ? null : (
        <div className="screen-only flex flex-wrap gap-4 border-t-2 border-hairline pt-6">
          <TransferSet set={set} onMoved={onMoved} />
          <RetireSet set={set} />
        </div>
      )}
      <p className="paper-only text-soft">
        Limits are those this centre took from the makers&apos; manuals, which prevail. A ready set still needs the pre-dive check.
      </p>
    </div>
  );
}

function Head({ set }: { set: OneSet }) {
  const { staff } = useWho();
  return (
    <div className="flex flex-wrap items-start justify-between gap-4">
      <div className="min-w-0">
        <h1 className="flex flex-wrap items-center gap-4">
          <span className="sr-only">Set </span>
          <span className="plate text-[1.9rem]">{set.tag}</span>
          <StateMark state={set.state} size="large" />
        </h1>
        <PaperLine />
      </div>
      <div className="screen-only flex flex-wrap gap-4">
        <ButtonLink href={`/bench/report?tag=${encodeURIComponent(set.tag)}`}>Report a fault</ButtonLink>
        <BreathTest set={set} />
        <ButtonLink href={`/sets/${encodeURIComponent(set.tag)}/life`}>Life and readings</ButtonLink>
        <ButtonLink href={`/sets/${encodeURIComponent(set.tag)}/record`}>Service record</ButtonLink>
        {staff.roles.includes("manager") ? (
          <a className="button" href={`/api/evidence/${encodeURIComponent(set.tag)}`} download={`evidence-${set.tag}.zip`}>
            Evidence bundle
          </a>
        ) : null}
      </div>
    </div>
  );
}

/** Where it is, what holds it, and what falls due. */
function Standing({ set }: { set: OneSet }) {
  const { site, staff } = useWho();
  const seesSlip = staff.roles.some((role) => role === "desk" || role === "manager");
  const context = contextOf(set, site.units);
  const lines = setDueLines(set.due, set.today, context.componentName);
  return (
    <div className="grid items-start gap-6 lg:grid-cols-[3fr_2fr]">
      <section aria-labelledby="holds" className="grid gap-4">
        <h2 id="holds">{set.holds.length === 0 ? "Nothing holds it" : set.holds.length === 1 ? "What holds it" : `What holds it: ${set.holds.length} things`}</h2>
        {set.holds.length === 0 ? <p>It may go out, if it suits the hire: the desk asks that for each hire anew. It still needs the pre-dive check.</p> : <HoldList holds={set.holds} cautions={set.cautions} {...context} />}
        {set.out === null ? null : (
          <p>
            Handed out <Instant at={set.out.outAt} timeZone={site.timeZone} />, planned back <Day day={set.out.backOn} today={set.today} />
            {set.out.backOn < set.today ? <strong>: late</strong> : null}. {seesSlip ? (
              <Link href={`/desk/slip/${set.out.hire}`} className="screen-only inline-flex min-h-12 items-center">
                The hire&apos;s slip
              </Link>
            ) : null}
          </p>
        )}
      </section>
      <section aria-labelledby="due" className="sheet grid gap-3">
        <h2 id="due">Falls due next</h2>
        {lines.length === 0 && set.due.notJudged.length === 0 ? <p>No maker sets a limit for any of its components.</p> : null}
        <ul className="grid gap-3">
          {lines.map((line) => (
            <li key={line.limb} className={line.overdue ? "border-s-4 border-danger ps-3" : ""}>
              <strong>
                {line.overdue ? "Overdue: " : ""}
                {line.value}
              </strong>
              <span className="block">{line.decides}</span>
            </li>
          ))}
        </ul>
        {set.due.notJudged.length === 0 ? null : (
          <p>
            <strong>Not judged:</strong> {set.due.notJudged.map(context.componentName).join(", ")}.
          </p>
        )}
      </section>
    </div>
  );
}
