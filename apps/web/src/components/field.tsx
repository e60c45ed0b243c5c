"use client";
import { useId, useState, type ChangeEvent, type ComponentProps, type ReactNode } from "react";
import { dayText } from "../format.ts";

type Told = {
  label: ReactNode;
  /** How to fill it in; read out with the label. */
  hint?: ReactNode;
  /** What is wrong with what stands in it, as a sentence. */
  error?: string | null | undefined;
};

/** One text entry with its label, hint and error tied together for screen readers. */
export function Field({ label, hint, error, ...input }: Told & ComponentProps<"input">) {
  return (
    <Labelled label={label} hint={hint} error={error} optional={input.required !== true}>
      {(tied) => <input autoComplete="off" {...input} {...tied} className={`control ${input.className ?? ""}`} />}
    </Labelled>
  );
}

/**
 * A day. Browsers show it in the order of their own country, so the field says below
 * which day it understood, with the month in letters.
 */
export function DayField({ defaultValue = "", onChange, hint, ...input }: Told & Omit<ComponentProps<"input">, "type" | "value" | "defaultValue"> & { defaultValue?: string }) {
  const [day, setDay] = useState(defaultValue);
  const change = (event: ChangeEvent<HTMLInputElement>) => {
    setDay(event.target.value);
    onChange?.(event);
  };
  return (
    <div>
      <Field {...input} type="date" hint={hint} defaultValue={defaultValue} onChange={change} />
      <p className="mt-1 min-h-[1.5em] text-soft" aria-live="polite">
        {day === "" ? null : dayText(day)}
      </p>
    </div>
  );
}

/** Several lines of text. */
export function TextField({ label, hint, error, ...area }: Told & ComponentProps<"textarea">) {
  return (
    <Labelled label={label} hint={hint} error={error} optional={area.required !== true}>
      {(tied) => <textarea rows={3} {...area} {...tied} className="control" />}
    </Labelled>
  );
}

/** A choice of one from a list; `children` are the options. */
export function SelectField({ label, hint, error, children, ...select }: Told & ComponentProps<"select">) {
  return (
    <Labelled label={label} hint={hint} error={error} optional={false}>
      {(tied) => (
        <select {...select} {...tied} className="control">
          {children}
        </select>
      )}
    </Labelled>
  );
}

/** Heights of ticks and choices: plain 52 px, wash 116 px (for gloved hands). */
type TickSize = "plain" | "wash";

/** A yes-or-no with a target the size of its whole line. */
export function Tick({ label, size = "plain", ...input }: { label: ReactNode; size?: TickSize } & Omit<ComponentProps<"input">, "type" | "size">) {
  return (
    <label className="tick" data-size={size}>
      <input {...input} type="checkbox" />
      <span>{label}</span>
    </label>
  );
}

export type Choice<T extends string> = { value: T; label: ReactNode };

type ChoicesProps<T extends string> = Told & { name: string; choices: readonly Choice<T>[]; value: T | null; onChoose: (value: T) => void; size?: TickSize };

/** One of a few, all in sight: radio buttons with full-size targets. */
export function Choices<T extends string>({ label, hint, error, name, choices, value, onChoose, size = "plain" }: ChoicesProps<T>) {
  const id = useId();
  return (
    <fieldset aria-describedby={describedBy(id, hint, error)}>
      <legend className="mb-1 font-semibold">{label}</legend>
      <Hint id={id} hint={hint} />
      <div className="flex flex-wrap gap-4">
        {choices.map((choice) => (
          <label key={choice.value} className="tick" data-size={size}>
            <input type="radio" name={name} value={choice.value} checked={choice.value === value} onChange={() => onChoose(choice.value)} />
            <span>{choice.label}</span>
          </label>
        ))}
      </div>
      <FieldError id={id} error={error} />
    </fieldset>
  );
}

type Tied = { id: string; "aria-describedby": string | undefined; "aria-invalid": true | undefined };

function Labelled({ label, hint, error, optional, children }: Told & { optional: boolean; children: (tied: Tied) => ReactNode }) {
  const id = useId();
  return (
    <div>
      <label htmlFor={id} className="mb-1 block font-semibold">
        {label}
        {optional ? <span className="font-normal text-soft"> (may be left empty)</span> : null}
      </label>
      <Hint id={id} hint={hint} />
      {children({ id, "aria-describedby": describedBy(id, hint, error), "aria-invalid": hasError(error) || undefined })}
      <FieldError id={id} error={error} />
    </div>
  );
}

function Hint({ id, hint }: { id: string; hint: ReactNode }) {
  if (hint === undefined) return null;
  return (
    <p id={`${id}-hint`} className="mb-1 text-soft">
      {hint}
    </p>
  );
}

function FieldError({ id, error }: { id: string; error: string | null | undefined }) {
  if (!hasError(error)) return null;
  return (
    <p id={`${id}-error`} className="mt-1 font-semibold text-danger">
      Not right yet: {error}
    </p>
  );
}

function hasError(error: string | null | undefined): boolean {
  return error !== undefined && error !== null && error !== "";
}

function describedBy(id: string, hint: ReactNode, error: string | null | undefined): string | undefined {
  const ids = [hint === undefined ? null : `${id}-hint`, hasError(error) ? `${id}-error` : null].filter((one) => one !== null);
  return ids.length === 0 ? undefined : ids.join(" ");
}
