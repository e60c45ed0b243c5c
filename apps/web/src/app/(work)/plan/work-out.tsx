"use client";
import { useRouter } from "next/navigation";
import { Button } from "../../../components/button.tsx";
import { SelectField } from "../../../components/field.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { countText } from "../../../format.ts";
import { errorWords } from "../../../words.ts";
import { addressOf, SPANS } from "./plan-address.ts";
import { progressText } from "./plan-words.ts";
import type { PlanInWork, Search } from "./use-plan.ts";
import type { Outlook } from "./plan-types.ts";

/** How far and how careful, and the button that has the plan worked out. */
export function WorkOut({ outlook, state }: { outlook: Outlook; state: PlanInWork }) {
  const { choices, search, work } = state;
  const router = useRouter();
  // Other weeks are another question to the server; the address asks it.
  const span = (next: { weeks?: number; dueBy?: "low" | "middle" }) => router.replace(addressOf({ ...choices, ...next }, outlook).address);
  const fixed = choices.locks.length;
  return (
    <section aria-label="Work out a plan" className="sheet screen-only mb-8 grid gap-4">
      <div className="grid gap-4 sm:grid-cols-2 lg:max-w-3xl">
        <SelectField label="How far ahead" value={choices.weeks} onChange={(event) => span({ weeks: Number(event.target.value) })}>
          {SPANS.map((weeks) => (
            <option key={weeks} value={weeks}>
              {weeks} weeks
            </option>
          ))}
        </SelectField>
        <SelectField label="A set counts as due on" value={choices.dueBy} onChange={(event) => span({ dueBy: event.target.value === "middle" ? "middle" : "low" })}>
          <option value="low">its earliest day</option>
          <option value="middle">its most likely day</option>
        </SelectField>
      </div>
      <p className="max-w-prose text-soft">
        The plan first sees that every booking has a set, then that sets stay on the desk, then that little service life is thrown away, then that the work is spread. {fixed === 0 ? "No set is fixed." : `${countText(fixed, "set")} you fixed ${fixed === 1 ? "stays" : "stay"} where ${fixed === 1 ? "it is" : "they are"}; the others may move.`}
      </p>
      <div className="flex flex-wrap items-center gap-4">
        {search?.why === "plan" ? (
          <Searching search={search} onStop={state.stop} />
        ) : (
          <Button tone="primary" size="desk" refusedBecause={search === null ? null : "Another search is running. Stop it first."} onClick={state.solve}>
            <Icon name="loop" /> {work === null ? "Work out a plan" : fixed === 0 ? "Work it out again" : "Work out the rest again"}
          </Button>
        )}
        {fixed === 0 ? null : <Button onClick={() => state.choose({ locks: [] })}>Free all that are fixed</Button>}
      </div>
      <SearchFailed state={state} />
    </section>
  );
}

/** How far the search is, and the way to end it. */
export function Searching({ search, onStop }: { search: Search; onStop: () => void }) {
  const { progress } = search;
  return (
    <div className="flex flex-wrap items-center gap-4">
      <p role="status" className="font-semibold">
        {progress === null ? "Being worked out…" : progressText(progress)}
      </p>
      <Button size="desk" onClick={onStop}>
        Stop
      </Button>
    </div>
  );
}

/** Why a search brought nothing: it never arrived, or there are too many. */
export function SearchFailed({ state: { failed, refused } }: { state: PlanInWork }) {
  if (refused !== null) {
    return (
      <Notice kind="warn" title="Not now" announce>
        <p>{refused === "solving-already" ? "You have a search running already, perhaps on another screen. Stop that one, or wait half a minute." : "Others are having plans worked out just now. Try again in half a minute."}</p>
      </Notice>
    );
  }
  if (failed === null) return null;
  return (
    <Notice kind="stop" title="Not worked out" announce>
      <p>{errorWords(failed)}</p>
    </Notice>
  );
}
