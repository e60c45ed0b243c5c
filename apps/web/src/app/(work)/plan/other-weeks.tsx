"use client";
import type { PlannedSet } from "@hangrail/api/plan-view";
import { useMutation } from "@tanstack/react-query";
import { createContext, use } from "react";
import { WhyNot } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Inputs } from "../../../trpc/types.ts";
import { choiceText, type PlanNames } from "./plan-words.ts";
import { weekAndDay } from "./weeks.ts";

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
          {found
            .filter((choice) => choice.week !== week)
            .map((choice) => (
              <li key={choice.week ?? "none"} className="flex flex-wrap items-center gap-x-4 gap-y-1 border-t border-hairline pt-2">
                <span className="w-40 font-semibold">{choice.week === null ? "Not in these weeks" : weekAndDay(names.mondays[choice.week] ?? "").replace(/^w/, "W")}</span>
                <span className="min-w-0 flex-1 basis-60">{choiceText(choice, names)}</span>
                {choice.choice === "stopped" ? null : (
                  <Button aria-label={`Move ${set.tag} there: ${choice.week === null ? "not in these weeks" : weekAndDay(names.mondays[choice.week] ?? "")}`} onClick={() => onMove(set.id, choice.week)}>
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
