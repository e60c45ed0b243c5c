"use client";
import { createColumnHelper } from "@tanstack/react-table";
import { useState } from "react";
import { textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../components/data-table.tsx";
import { Choices, Field, SelectField } from "../../../components/field.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText } from "../../../format.ts";
import type { WhatIf } from "./plan-address.ts";
import { violationText, type PlanNames } from "./plan-words.ts";
import type { PlanInWork } from "./use-plan.ts";
import { ReliefList } from "./verdict.tsx";
import { Searching } from "./work-out.tsx";
import { weekAndDay } from "./weeks.ts";
import { compared, whatIfText, type Compared } from "./what-if-words.ts";
import type { Outlook } from "./plan-types.ts";

const questions = [
  { value: "away", label: "a technician is away" },
  { value: "late", label: "a kit comes late" },
  { value: "demand", label: "more, or less, is booked" },
] as const;
type Question = (typeof questions)[number]["value"];

/** Another plan for other circumstances, beside the one in work. Nothing of it is recorded. */
export function WhatIfPart({ outlook, names, state }: { outlook: Outlook; names: PlanNames; state: PlanInWork }) {
  const [about, setAbout] = useState<Question>("away");
  const { work, other, search, choices } = state;
  if (work === null) return null;
  const week = { fromWeek: "from", untilWeek: "until" } as const;
  const submit = (form: FormData) => {
    const span = { fromWeek: Number(textOf(form, week.fromWeek)), untilWeek: Math.max(Number(textOf(form, week.fromWeek)), Number(textOf(form, week.untilWeek))) };
    const none: WhatIf = { away: [], lateKits: [], demand: [] };
    if (about === "away") state.tryOther({ ...none, away: [{ staffId: textOf(form, "who"), ...span }] });
    if (about === "late") state.tryOther({ ...none, lateKits: [{ kitId: textOf(form, "kit"), weeks: Number(textOf(form, "late")) }] });
    if (about === "demand") state.tryOther({ ...none, demand: [{ ...span, percent: Number(textOf(form, "percent")) }] });
  };
  const said = whatIfText(choices.whatIf, outlook);
  return (
    <section aria-labelledby="what-if" className="sheet screen-only mb-10 grid gap-4">
      <h2 id="what-if">What if</h2>
      <p className="max-w-prose">Another plan for other circumstances, beside the one above. Nothing of it is recorded.</p>
      <form
        method="post"
        className="grid gap-4"
        onSubmit={(event) => {
          event.preventDefault();
          if (search === null) submit(new FormData(event.currentTarget));
        }}
      >
        <Choices label="Suppose that" name="about" choices={questions} value={about} onChoose={setAbout} />
        <div className="grid gap-4 sm:grid-cols-3 lg:max-w-4xl">
          {about === "away" ? (
            <SelectField label="Who" name="who">
              {outlook.technicians.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </SelectField>
          ) : null}
          {about === "late" ? (
            <>
              <SelectField label="Which kit" name="kit">
                {outlook.kits.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
              </SelectField>
              <Field label="Weeks late" name="late" type="number" min={1} max={52} defaultValue={4} required />
            </>
          ) : (
            <>
              <WeekSelect label="From" name={week.fromWeek} weeks={outlook.weeks} first={0} />
              <WeekSelect label="Until" name={week.untilWeek} weeks={outlook.weeks} first={3} />
            </>
          )}
          {about === "demand" ? <Field label="Bookings in percent of what they are" name="percent" type="number" min={0} max={1000} defaultValue={130} required /> : null}
        </div>
        {search?.why === "what-if" ? (
          <Searching search={search} onStop={state.stop} />
        ) : (
          <div>
            <Button type="submit" tone="primary" refusedBecause={whyNotNow(about, outlook, search !== null)}>
              Work it out beside the plan
            </Button>
          </div>
        )}
      </form>
      {other === null ? (
        search?.why === "what-if" || said === "" ? null : (
          <p>
            Asked before: {said}. <Button onClick={() => state.tryOther(choices.whatIf)}>Work that out</Button>
          </p>
        )
      ) : (
        <Other said={said} names={names} state={state} />
      )}
    </section>
  );
}

function whyNotNow(about: Question, { technicians, kits }: Outlook, searching: boolean): string | null {
  if (searching) return "Another search is running. Stop it first.";
  if (about === "away" && technicians.length === 0) return "There is no technician at this site.";
  if (about === "late" && kits.length === 0) return "No kit is entered.";
  return null;
}

function WeekSelect({ label, name, weeks, first }: { label: string; name: string; weeks: readonly string[]; first: number }) {
  return (
    <SelectField label={label} name={name} defaultValue={Math.min(first, weeks.length - 1)}>
      {weeks.map((monday, at) => (
        <option key={monday} value={at}>
          {weekAndDay(monday)}
        </option>
      ))}
    </SelectField>
  );
}

function Other({ said, names, state }: { said: string; names: PlanNames; state: PlanInWork }) {
  const { work, other } = state;
  if (work === null || other === null) return null;
  const { answer } = other;
  const drop = <Button onClick={state.dropOther}>Drop it</Button>;
  if (answer.answer === "locks-conflict" || answer.answer === "no-problem") {
    return (
      <div className="grid gap-4">
        <Notice kind="stop" title={`If ${said}: no plan`} announce>
          {answer.answer === "no-problem" ? (
            <p>Something recorded cannot be right; work out the plan itself to see what.</p>
          ) : (
            <>
              <ul className="list-disc ps-5">
                {answer.violations.map((one) => (
                  <li key={JSON.stringify(one)}>{violationText(one, names)}</li>
                ))}
              </ul>
              <ReliefList relief={answer.relief} names={names} />
            </>
          )}
        </Notice>
        <div>{drop}</div>
      </div>
    );
  }
  return (
    <div className="grid gap-4">
      <DataTable caption={`If ${said}`} columns={columns} rows={compared(work.plan, work.proof?.gap ?? null, answer.found)} rowKey={(row) => row.what} empty="Nothing to compare." />
      {answer.answer === "short" ? (
        <Notice kind="warn" title={`${countText(answer.found.score.shortage, "booking")} would have no set`} announce>
          <ReliefList relief={answer.relief} names={names} />
        </Notice>
      ) : (
        <p role="status" className="font-semibold">
          Every booking would still have a set.
        </p>
      )}
      <div className="flex flex-wrap gap-4">
        <Button tone="primary" onClick={state.takeOther}>
          Take this one
        </Button>
        {drop}
      </div>
      <p className="max-w-prose text-soft">Taken, it becomes the plan above and is judged by things as they are. It is not accepted by that.</p>
    </div>
  );
}

const column = createColumnHelper<TableFeatures, Compared>();
const columns = column.columns([
  column.accessor("what", { header: "Counted", enableSorting: false }),
  column.accessor("now", { header: "The plan above", enableSorting: false, cell: ({ row: { original } }) => `${original.now}${original.better === "now" ? ", better" : ""}` }),
  column.accessor("other", { header: "If so", enableSorting: false, cell: ({ row: { original } }) => `${original.other}${original.better === "other" ? ", better" : ""}` }),
]);
