"use client";
import type { PlannedSet } from "@hangrail/api/plan-view";
import type { WeekChoice } from "@hangrail/rules/plan-reasons";
import { useMutation } from "@tanstack/react-query";
import { createContext, use } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Inputs } from "../../../trpc/types.ts";
import { choiceText, type PlanNames } from "./plan-words.ts";
import { weekAndDay, weeksText } from "./weeks.ts";

/** The plan that another week is weighed against; null while there is none. */
export const PlanAsked = createContext<Omit<Inputs["plan"]["weekChoices"], "setId"> | null>(null);

/** What every other week would mean for a set, asked for when somebody wants to know. */
export function OtherWeeks({ set, names, week, onMove }: { set: PlannedSet; names: PlanNames; week: number | null; onMove: (set: string, week: number | null) => void }) {
  const trpc = useTRPC();
  const asked = use(PlanAsked);
  const choices = useMutation(trpc.plan.weekChoices.mutationOptions());
  if (asked === null) return null;
  const { mutate } = choices;
  const found = choices.data?.answer === "choices" ? choices.data.choices : null;
  return (
    <details className="screen-only mt-1" onToggle={(event) => event.currentTarget.open && mutate({ ...asked, setId: set.id })}>
      <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">
        Other weeks<span className="sr-only"> for {set.tag}</span>
      </summary>
      <WhyNot state={choices} />
      {choices.isPending ? <p role="status">Being weighed…</p> : null}
      {choices.data?.answer === "no-such-set" ? <p>This set is no longer here. Load the page again.</p> : null}
      {found === null ? null : (
        <ul className="mt-2 grid gap-2">
          {linesOf(found, week, names, asked.dueBy === "middle" ? null : set.dueWeek).map(({ weeks, words, to }) => (
            <li key={weeks} className="flex flex-wrap items-center gap-x-4 gap-y-1 border-t border-hairline pt-2">
              <span className="w-44 font-semibold">{weeks}</span>
              <span className="min-w-0 flex-1 basis-60">{words}</span>
              {to === null ? null : (
                <Button aria-label={`Move it there: ${set.tag}, ${weeks}`} onClick={() => onMove(set.id, to.week)}>
                  Move it there
                </Button>
              )}
            </li>
          ))}
        </ul>
      )}
    </details>
  );
}

interface Line {
  readonly weeks: string;
  readonly words: string;
  /** Where it may be moved; null = it may not. */
  readonly to: { readonly week: number | null } | null;
}

/** One line for each week it may go in; weeks it may not, one after the other and for the same cause, share a line. */
function linesOf(choices: readonly WeekChoice[], now: number | null, names: PlanNames, dueWeek: number | null): readonly Line[] {
  const lines: { mondays: string[]; words: string; to: Line["to"] }[] = [];
  for (const choice of choices) {
    if (choice.week === now) continue;
    const words = choiceText(choice, names, dueWeek);
    const monday = choice.week === null ? null : (names.mondays[choice.week] ?? "");
    const last = lines.at(-1);
    if (choice.choice === "stopped" && last?.to === null && last.words === words && monday !== null) last.mondays.push(monday);
    else lines.push({ mondays: monday === null ? [] : [monday], words, to: choice.choice === "stopped" ? null : { week: choice.week } });
  }
  const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
  return lines.map(({ mondays, words, to }) => ({ weeks: capital(mondays.length === 0 ? "not in these weeks" : mondays.length === 1 ? weekAndDay(mondays[0]!) : weeksText(mondays)), words, to }));
}
