"use client";
import { useEffect, useState } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { Choices as ChoiceField, Field } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText, numberText } from "../../../format.ts";
import "./plan.css";
import { PlanAsked } from "./other-weeks.tsx";
import { shareOf } from "./place.ts";
import { AS_IT_IS } from "./plan-address.ts";
import { differenceText, violationText, type PlanNames } from "./plan-words.ts";
import { SetRow } from "./set-row.tsx";
import type { PlanInWork } from "./use-plan.ts";
import { weekNumber } from "./weeks.ts";
import type { Outlook } from "./plan-types.ts";

/** As many rows as a person looks through before turning the page. */
const PAGE = 20;

const shown = [
  { value: "going", label: "those that go" },
  { value: "fixed", label: "those fixed" },
  { value: "all", label: "every set" },
] as const;
type Shown = (typeof shown)[number]["value"];

/** Every set of the plan as a bar, by due day, a page at a time. */
export function SetRows({ outlook, names, state }: { outlook: Outlook; names: PlanNames; state: PlanInWork }) {
  const { work, lines, choices, moved, move, fix } = state;
  const [which, setWhich] = useState<Shown>("going");
  const [search, setSearch] = useState("");
  const [page, setPage] = useState(0);
  const moving = work === null ? null : { onMove: move, onFix: fix };
  // Until a plan is worked out, the one that was accepted stands here.
  const weekOf = new Map<string, number | null>(work === null ? acceptedWeeks(outlook) : lines.map(({ setId, week }) => [setId, week]));
  const reasonOf = new Map(work?.plan.reasons.map(({ set, reason }) => [set, reason]) ?? []);
  const lockOf = new Map(choices.locks.map((lock) => [lock.setId, lock]));
  const wanted = search.trim().toUpperCase();
  const fits = outlook.sets.filter(({ id, tag, dueWeek }) => {
    if (wanted !== "") return tag.includes(wanted);
    if (which === "fixed") return lockOf.has(id);
    return which === "all" || (weekOf.get(id) ?? null) !== null || dueWeek < outlook.weeks.length || id === moved?.setId;
  });
  const pages = Math.max(1, Math.ceil(fits.length / PAGE));
  const at = Math.min(page, pages - 1);
  const rows = fits.slice(at * PAGE, (at + 1) * PAGE);
  const shortWeeks = outlook.weeks.flatMap((_, week) => ((work?.plan.cover ?? outlook.cover).some(({ short }) => (short[week] ?? 0) > 0) ? [week] : []));
  const price = moved === null ? null : priceText(moved.answer, names);
  const broken = work?.plan.violations ?? [];

  return (
    <section aria-labelledby="sets-of-plan" className="mb-10">
      <h2 id="sets-of-plan">The sets, week by week</h2>
      <p className="mt-1 max-w-prose">
        {work !== null
          ? "A square is the week a set goes to the bench: drag it, use the arrow keys on it, or Earlier and Later. L, or Fix, holds it there when the plan is worked out again."
          : outlook.accepted === null
            ? "When each set falls due. No plan is accepted yet, so none has a week."
            : "When each set falls due, and the week it goes to the bench by the plan that was accepted."}
      </p>
      <Legend />
      <div className="screen-only my-4 flex flex-wrap items-end gap-4">
        <ChoiceField label="Show" name="shown" choices={shown} value={which} onChoose={(next) => (setWhich(next), setPage(0))} />
        <div className="w-80 max-w-full">
          <Field label="Find a set" value={search} maxLength={20} onChange={(event) => (setSearch(event.target.value), setPage(0))} />
        </div>
      </div>
      {broken.length === 0 ? null : (
        <Notice kind="stop" title="As it stands this plan cannot be accepted">
          <ul className="list-disc ps-5">
            {broken.slice(0, 6).map((one) => (
              <li key={JSON.stringify(one)}>{violationText(one, names)}</li>
            ))}
          </ul>
          {broken.length > 6 ? <p>And {numberText(broken.length - 6)} more.</p> : null}
        </Notice>
      )}
      <p role="status" className="sr-only">
        {moved === null ? "" : `${names.set(moved.setId)}: ${price}`}
      </p>
      <WhyNot state={state.pricing} />
      <PlanAsked value={work === null ? null : { weeks: choices.weeks, dueBy: choices.dueBy, locks: [...choices.locks], whatIf: AS_IT_IS, lines: work.plan.lines.map(({ setId, week }) => ({ setId, week })) }}>
        {rows.length === 0 ? <p className="border-t-2 border-hairline py-4">{wanted !== "" ? `No set's tag has “${wanted}” in it.` : which === "fixed" ? "No set is fixed." : "No set goes, or falls due, in these weeks."}</p> : <Scale mondays={names.mondays} />}
        <ul>
          {rows.map((set) => (
            <SetRow key={set.id} set={set} names={names} week={weekOf.get(set.id) ?? null} reason={reasonOf.get(set.id) ?? null} lock={lockOf.get(set.id) ?? null} shortWeeks={shortWeeks} price={moved?.setId === set.id ? price : null} moving={moving} />
          ))}
        </ul>
      </PlanAsked>
      <div className="screen-only flex flex-wrap items-center gap-4 border-t-2 border-hairline pt-4">
        <p aria-live="polite">
          {countText(fits.length, "set")}
          {pages > 1 ? `, page ${at + 1} of ${pages}` : ""}
        </p>
        {pages < 2 ? null : (
          <>
            <Button refusedBecause={at === 0 ? "This is the first page." : null} onClick={() => setPage(at - 1)}>
              Page before
            </Button>
            <Button refusedBecause={at === pages - 1 ? "This is the last page." : null} onClick={() => setPage(at + 1)}>
              Next page
            </Button>
          </>
        )}
      </div>
    </section>
  );
}

function acceptedWeeks({ accepted, weeks }: Outlook): [string, number][] {
  return (accepted?.lines ?? []).flatMap(({ setId, weekOn }): [string, number][] => {
    const at = weeks.indexOf(weekOn);
    return at === -1 ? [] : [[setId, at]];
  });
}

type Priced = NonNullable<PlanInWork["moved"]>["answer"];

/** What a move costs, or which rule it breaks: the rule comes first. */
function priceText({ plan, change, short }: Priced, names: PlanNames): string {
  const [broken] = plan.violations;
  return broken === undefined ? differenceText(change, short, names) : `Not possible: ${violationText(broken, names)}`;
}

/** Week numbers above the bars; as many as there is room for. */
function Scale({ mondays }: { mondays: readonly string[] }) {
  const weeks = mondays.length;
  const [every, setEvery] = useState(4);
  useEffect(() => {
    const fit = () => setEvery(Math.max(1, Math.ceil((weeks * 44) / Math.max(240, window.innerWidth - (window.innerWidth < 1024 ? 32 : 560)))));
    fit();
    window.addEventListener("resize", fit);
    return () => window.removeEventListener("resize", fit);
  }, [weeks]);
  return (
    <div className="grid gap-x-6 lg:grid-cols-[11rem_minmax(0,1fr)]" aria-hidden="true">
      <span className="hidden text-soft lg:block">Week</span>
      <div className="week-scale">
        {mondays.map((monday, at) => (at % every === 0 && at < weeks - every / 2 ? <span key={monday} style={{ left: `${shareOf(at, weeks)}%` }}>{weekNumber(monday)}</span> : null))}
        <span style={{ left: "100%" }}>none</span>
      </div>
    </div>
  );
}

function Legend() {
  const item = "flex items-center gap-2";
  return (
    <ul className="mt-2 flex flex-wrap gap-x-6 gap-y-1 text-soft">
      <li className={item}>
        <span className="inline-block h-6 w-6 rounded-[5px_5px_5px_9px] border-3 border-sea bg-sheet" aria-hidden="true" /> goes in this week
      </li>
      <li className={item}>
        <Icon name="lock" size={20} /> filled: fixed
      </li>
      <li className={item}>
        <span className="inline-block h-4 w-8 border-2 border-edge" aria-hidden="true" /> falls due somewhere here (eight chances in ten)
      </li>
      <li className={item}>
        <span className="inline-block h-6 w-1 bg-ink" aria-hidden="true" /> most likely day
      </li>
      <li className={item}>
        <span className="inline-block h-3 w-8 bg-sea opacity-40" aria-hidden="true" /> off the desk for it
      </li>
      <li className={item}>
        <span className="inline-block w-8 border-t-[6px] border-dotted border-soft" aria-hidden="true" /> out, or on the bench
      </li>
      <li className={item}>
        <span className="inline-block h-6 w-4 border-x border-dashed border-danger" aria-hidden="true" /> a week with bookings short of sets
      </li>
    </ul>
  );
}
