"use client";
import { useId, type ReactNode } from "react";
import { judgementWords, unitOf, type Quantity } from "../../../../../bench-test-words.ts";
import { Choices, SelectField } from "../../../../../components/field.tsx";
import { useEntries } from "./test-context.ts";
import { VerdictLine } from "./verdict-mark.tsx";

type FigureProps = { entry: string; label: string; quantity: Quantity; hint?: ReactNode };

/** One figure: a decimal keypad on a tablet, its unit beside it, and its verdict below as it is typed. */
export function FigureEntry({ entry, label, quantity, hint }: FigureProps) {
  const id = useId();
  const { units, typed, problemAt, type, leave } = useEntries();
  const unit = unitOf(quantity, units);
  const problem = problemAt(entry);
  return (
    <div>
      <label htmlFor={id} className="mb-1 block font-semibold">
        {label} <span className="font-normal text-soft">in {unit}</span>
      </label>
      {hint === undefined ? null : (
        <p id={`${id}-hint`} className="mb-1 text-soft">
          {hint}
        </p>
      )}
      <input
        id={id}
        className="control max-w-56"
        data-entry={entry}
        inputMode="decimal"
        autoComplete="off"
        maxLength={40}
        value={typed[entry] ?? ""}
        aria-describedby={hint === undefined ? `${id}-said` : `${id}-hint ${id}-said`}
        aria-invalid={problem === null ? undefined : true}
        onChange={(event) => type(entry, event.target.value)}
        onBlur={() => leave(entry)}
      />
      {/* Its line is there from the start: what appears on leaving an entry must not move what is being pressed. */}
      <div id={`${id}-said`} className="mt-1 min-h-14 sm:min-h-7">
        {problem === null ? <Judged entry={entry} /> : <p className="font-semibold text-danger">Not right yet: {problem}</p>}
      </div>
    </div>
  );
}

/** How an entry is judged so far; nothing before it can be read. */
export function Judged({ entry }: { entry: string }) {
  const { units, itemAt } = useEntries();
  const item = itemAt(entry);
  return item === null ? null : <VerdictLine verdict={item.judgement.verdict}>{judgementWords(item, units)}</VerdictLine>;
}

const yesNo = [
  { value: "yes", label: "Yes" },
  { value: "no", label: "No" },
] as const;

/** Yes or no, unanswered at first. */
export function YesNoEntry({ entry, label, hint }: { entry: string; label: string; hint: string }) {
  const { typed, type } = useEntries();
  const value = typed[entry];
  return (
    <div>
      <Choices label={label} hint={hint} name={entry} choices={yesNo} value={value === "yes" || value === "no" ? value : null} onChoose={(chosen) => type(entry, chosen)} />
      <div className="mt-1">
        <Judged entry={entry} />
      </div>
    </div>
  );
}

type ChoiceProps = { entry: string; label: string; choices: readonly { value: string; label: string }[] };

/** One of a few positions, unanswered at first: an assumed position could pass what was never set. */
export function PositionEntry({ entry, label, choices }: ChoiceProps) {
  const { typed, problemNow, type } = useEntries();
  return (
    <SelectField label={label} data-entry={entry} error={problemNow(entry)} value={typed[entry] ?? ""} onChange={(event) => type(entry, event.target.value)}>
      <option value="">choose…</option>
      {choices.map((choice) => (
        <option key={choice.value} value={choice.value}>
          {choice.label}
        </option>
      ))}
    </SelectField>
  );
}
