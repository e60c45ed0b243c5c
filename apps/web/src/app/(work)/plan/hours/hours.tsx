"use client";
import type { TechnicianHours } from "@hangrail/api/plan-view";
import { useMutation, useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { useState } from "react";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useHasRole } from "../../../../components/who.tsx";
import { dayText, hoursText, listText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { isRefused } from "../../../../refused.ts";
import { Counted } from "../../trends/counted.tsx";
import { weekAndDay } from "../weeks.ts";
import { MOST_HOURS, readHours } from "./hours-entry.ts";
import type { Outlook } from "../plan-types.ts";

const WEEKS = 52;

export function Hours() {
  const trpc = useTRPC();
  const outlook = useQuery(trpc.plan.outlook.queryOptions({ weeks: WEEKS }));
  return (
    <Counted query={outlook}>
      {(found) =>
        found.technicians.length === 0 ? (
          <p className="max-w-prose">Nobody is a technician at this site. The manager gives the role under Centre.</p>
        ) : (
          <div className="grid gap-10">
            {found.technicians.map((technician) => (
              <OneTechnician key={technician.id} technician={technician} outlook={found} />
            ))}
          </div>
        )
      }
    </Counted>
  );
}

function OneTechnician({ technician, outlook }: { technician: TechnicianHours; outlook: Outlook }) {
  const { name, usual, authorisations } = technician;
  const maySet = useHasRole("manager");
  const rows = outlook.weeks.map((week, at) => ({ week, ...(technician.weeks[at] ?? { minutes: 0, own: false, words: "" }) }));
  return (
    <section className="sheet grid gap-4" aria-label={`Hours of ${name}`}>
      <h2>{name}</h2>
      <p className="text-lg">{usual === null ? "No hours entered, so none are counted." : `${hoursText(usual)} in every week without hours of its own.`}</p>
      <p className="text-soft">{authorisations.length === 0 ? "Authorised for no maker, so no set's work counts on these hours." : `Authorised for ${listText(authorisations.map(({ maker, until }) => `${maker} (until ${dayText(until)})`))}.`}</p>
      {maySet ? <SetHours technician={technician} weeks={outlook.weeks} /> : null}
      <details>
        <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">
          Week by week<span className="sr-only">, {name}</span>
        </summary>
        <DataTable caption={`Hours of ${name} by week`} columns={columns} rows={rows} rowKey={(row) => row.week} empty="No weeks." />
      </details>
    </section>
  );
}

type HoursRow = { week: string; minutes: number; own: boolean; words: string };
const column = createColumnHelper<TableFeatures, HoursRow>();
const columns = column.columns([
  column.accessor("week", { header: "Week", cell: ({ row }) => weekAndDay(row.original.week) }),
  column.accessor("minutes", { header: "Hours", cell: ({ row }) => hoursText(row.original.minutes) }),
  column.accessor((row) => (row.own ? "its own" : "as every week"), { id: "own", header: "Entered" }),
  column.accessor("words", { header: "In words", enableSorting: false, cell: ({ row }) => row.original.words || "—" }),
]);

const EVERY = "every";

/** Hours for every week, or for some weeks one after the other: a holiday is nought hours with a word on it. */
function SetHours({ technician, weeks }: { technician: TechnicianHours; weeks: Outlook["weeks"] }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const [from, setFrom] = useState(EVERY);
  const [round, setRound] = useState(0);
  const [problem, setProblem] = useState<string | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const set = useMutation(trpc.plan.setBenchHours.mutationOptions());
  const submit = async (form: FormData) => {
    setDone(null);
    const minutes = readHours(textOf(form, "hours"));
    setProblem(minutes === null ? `Write hours such as 12, 7.5 or 7:30; at most ${MOST_HOURS}.` : null);
    if (minutes === null) return;
    const words = textOf(form, "words");
    const first = weeks.findIndex((week) => week === from);
    const last = weeks.findIndex((week) => week === textOf(form, "until"));
    const chosen = from === EVERY ? [null] : weeks.slice(first, Math.max(first, last) + 1);
    for (const weekOn of chosen) {
      const answer = await set.mutateAsync({ staffId: technician.id, weekOn, minutes, words }).catch(() => null);
      // The sentence for why stands in the form; the weeks before are set.
      if (answer === null || isRefused(answer)) return;
    }
    await afterAct({ answer: "done" }, () => {
      setDone(`${hoursText(minutes)} entered${from === EVERY ? " for every week" : chosen.length === 1 ? ` for ${weekAndDay(from)}` : ` for ${chosen.length} weeks`}.`);
      setRound(round + 1);
    });
  };
  return (
    <ActForm key={round} act="Enter these hours" state={set} done={done} onSubmit={(form) => void submit(form)}>
      <div className="grid gap-4 sm:grid-cols-2">
        <SelectField label="For" value={from} onChange={(event) => setFrom(event.target.value)}>
          <option value={EVERY}>every week</option>
          {weeks.map((week) => (
            <option key={week} value={week}>
              {weekAndDay(week)}
            </option>
          ))}
        </SelectField>
        {from === EVERY ? null : (
          <SelectField key={from} label="Until" name="until" defaultValue={from}>
            {weeks
              .filter((week) => week >= from)
              .map((week) => (
                <option key={week} value={week}>
                  {weekAndDay(week)}
                </option>
              ))}
          </SelectField>
        )}
        <Field label="Hours a week" name="hours" required inputMode="decimal" maxLength={6} error={problem} defaultValue={from === EVERY && technician.usual !== null ? String(technician.usual / 60) : ""} />
        <Field label="In words" name="words" maxLength={200} hint="For example: holiday, course." />
      </div>
    </ActForm>
  );
}
