"use client";
import { addDays, day } from "@hangrail/rules/calendar";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import { textOf, WhyNot } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { Field, SelectField } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, numberText } from "../../../../format.ts";
import { useTRPCClient } from "../../../../trpc/client.ts";
import type { Inputs } from "../../../../trpc/types.ts";
import { mondayOf, weekAndDay } from "../weeks.ts";
import { ReadBookings } from "./read-bookings.tsx";

const WEEKS = 52;

/** The Mondays of this week and the weeks of a year after it. */
function weeksFrom(today: string): readonly string[] {
  const first = day(mondayOf(today));
  return Array.from({ length: WEEKS }, (_, at) => addDays(first, 7 * at));
}

/** What was hired in the same weeks a year ago, times a percentage: shown first, recorded on a press. */
export function FromPastHires() {
  const client = useTRPCClient();
  const { today } = useWho();
  const [done, setDone] = useState<string | null>(null);
  const [round, setRound] = useState(0);
  const past = useMutation({
    // Only read, but on a press and once: asked again by itself, it would offer what has just been recorded.
    mutationFn: (asked: Inputs["plan"]["bookingsFromPastHires"]) => client.plan.bookingsFromPastHires.query(asked),
    onMutate: () => setDone(null),
    onSuccess: () => setRound(round + 1),
  });
  const found = past.data;
  return (
    <section className="sheet grid gap-4" aria-labelledby="past-bookings">
      <h2 id="past-bookings">From past hires</h2>
      <p className="max-w-prose">Takes what was hired on the same weekdays 52 weeks before, by kind, times a percentage. You see it before it is recorded.</p>
      <form
        method="post"
        className="grid gap-4"
        onSubmit={(event) => {
          event.preventDefault();
          const form = new FormData(event.currentTarget);
          past.mutate({ fromOn: textOf(form, "from"), weeks: Number(textOf(form, "weeks")), percent: Number(textOf(form, "percent")) });
        }}
      >
        <div className="grid gap-4 sm:grid-cols-3 lg:max-w-4xl">
          <SelectField label="From" name="from">
            {weeksFrom(today).map((monday) => (
              <option key={monday} value={monday}>
                {weekAndDay(monday)}
              </option>
            ))}
          </SelectField>
          <Field label="How many weeks" name="weeks" type="number" min={1} max={26} required defaultValue={4} />
          <Field label="Percent of a year ago" name="percent" type="number" min={1} max={500} required defaultValue={110} />
        </div>
        <div>
          <Button type="submit" pending={past.isPending} pendingWords="Being counted…">
            Show them
          </Button>
        </div>
      </form>
      <WhyNot state={past} />
      {done === null ? null : (
        <Notice kind="ok" announce>
          <p>{done}</p>
        </Notice>
      )}
      {found === undefined || past.isPending ? null : found.bookings.length === 0 ? (
        <p role="status">{found.hires === 0 ? "Nothing was hired in those days a year ago, so there is nothing to go by." : `${numberText(found.hires)} hires a year ago come to less than one set a day at this percentage.`}</p>
      ) : (
        <>
          {found.recorded === 0 ? null : (
            <Notice kind="warn" announce>
              <p>{countText(found.recorded, "booking")} from past hires {found.recorded === 1 ? "is" : "are"} recorded for these weeks already. These would come on top.</p>
            </Notice>
          )}
          <ReadBookings
          key={round}
          bookings={found.bookings}
          onDone={(words) => {
            setDone(words);
            past.reset();
          }}
          onDrop={() => past.reset()}
        />
        </>
      )}
    </section>
  );
}
