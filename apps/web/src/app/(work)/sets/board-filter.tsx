"use client";
import { SET_STATES, type SetState } from "@hangrail/rules/set-state";
import { useQuery } from "@tanstack/react-query";
import { useId, type ReactNode, type SubmitEvent } from "react";
import { textOf } from "../../../components/act-form.tsx";
import { Button } from "../../../components/button.tsx";
import { SelectField } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { numberText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { stateLook } from "../../../words.ts";
import type { useBoardFilter } from "./use-board-filter.ts";

type Filter = ReturnType<typeof useBoardFilter>;

/** Search by words and by model. */
export function BoardSearch({ question, change }: Filter) {
  const id = useId();
  const trpc = useTRPC();
  const models = useQuery(trpc.models.list.queryOptions());
  const search = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    change({ q: textOf(new FormData(event.currentTarget), "q") });
  };
  return (
    <>
      <form method="post" role="search" aria-label="Search the sets" className="flex flex-wrap items-end gap-4" onSubmit={search}>
        <div>
          <label htmlFor={id} className="mb-1 block font-semibold">
            Tag, serial, maker or model
          </label>
          {/* The key: going back in the browser's history fills the field again. */}
          <input key={question.search ?? ""} id={id} name="q" type="search" className="control" autoComplete="off" spellCheck={false} defaultValue={question.search ?? ""} maxLength={60} />
        </div>
        <Button type="submit">Search</Button>
      </form>
      <div className="max-w-72">
        <SelectField label="Model" value={question.modelId ?? ""} onChange={(event) => change({ model: event.target.value })}>
          <option value="">every model</option>
          {models.data?.map((model) => (
            <option key={model.id} value={model.id}>
              {model.maker} {model.name}
            </option>
          ))}
        </SelectField>
      </div>
    </>
  );
}

type ChipsProps = Filter & { counts: Readonly<Partial<Record<SetState, number>>> | undefined };

/** How many sets stand in each state; each count is a filter, several may be on. */
export function StateChips({ question, change, counts }: ChipsProps) {
  const shown = SET_STATES.filter((state) => (counts?.[state] ?? 0) > 0 || question.states.includes(state)).reverse();
  const toggle = (state: SetState) => change({ states: question.states.includes(state) ? question.states.filter((one) => one !== state) : [...question.states, state] });
  const inFleet = SET_STATES.reduce((sum, state) => sum + (state === "retired" ? 0 : (counts?.[state] ?? 0)), 0);
  return (
    <div role="group" aria-label="Sets by state" className="screen-only mb-6 flex flex-wrap gap-3">
      <Chip on={question.states.length === 0} onPress={() => change({ states: [] })}>
        All in the fleet <strong>{counts === undefined ? "…" : numberText(inFleet)}</strong>
      </Chip>
      {shown.map((state) => {
        const { word, icon, tone } = stateLook(state);
        return (
          <Chip key={state} tone={tone} on={question.states.includes(state)} onPress={() => toggle(state)}>
            <Icon name={icon} size={22} /> {word} <strong>{numberText(counts?.[state] ?? 0)}</strong>
          </Chip>
        );
      })}
    </div>
  );
}

function Chip({ on, tone, onPress, children }: { on: boolean; tone?: string; onPress: () => void; children: ReactNode }) {
  return (
    <button
      type="button"
      aria-pressed={on}
      onClick={onPress}
      data-tone={tone}
      className={`inline-flex min-h-12 items-center gap-2 rounded-lg border-2 px-3 font-semibold ${tone === undefined ? "bg-sheet text-ink" : "tinted"} ${on ? "border-sea shadow-[inset_0_0_0_2px_var(--sea)]" : "border-edge"}`}
    >
      {children}
      {on ? <span className="inline-flex items-center gap-1"><Icon name="tick" size={18} /> shown</span> : null}
    </button>
  );
}
