"use client";
import { useId } from "react";
import { figureRules, type Figure, type FigureName } from "../limits-form.ts";

type FigureFieldProps = {
  name: FigureName;
  figure: Figure;
  error: string | undefined;
  /** What is ticked when the manual names no figure; null where there must be one. */
  noneWords: string | null;
  onChange: (figure: Figure) => void;
};

/** One figure of the manual with its unit, or the maker's word that there is none: an empty field says neither. */
export function FigureField({ name, figure, error, noneWords, onChange }: FigureFieldProps) {
  const id = useId();
  const { label, unit } = figureRules[name];
  return (
    <div>
      <label htmlFor={id} className="mb-1 block font-semibold">
        {label} <span className="font-normal text-soft">({unit})</span>
      </label>
      <div className="flex flex-wrap gap-3">
        <input
          id={id}
          name={name}
          className="control max-w-40"
          inputMode="decimal"
          autoComplete="off"
          maxLength={9}
          value={figure.none ? "" : figure.text}
          readOnly={figure.none}
          onChange={(event) => onChange({ text: event.target.value, none: false })}
          aria-invalid={error !== undefined || undefined}
          aria-describedby={error === undefined ? undefined : `${id}-error`}
        />
        {noneWords === null ? null : (
          <label className="tick">
            <input type="checkbox" name={`${name}-none`} checked={figure.none} onChange={(event) => onChange({ ...figure, none: event.target.checked })} />
            <span>{noneWords}</span>
          </label>
        )}
      </div>
      {error === undefined ? null : (
        <p id={`${id}-error`} className="mt-1 font-semibold text-danger">
          Not right yet: {error}
        </p>
      )}
    </div>
  );
}
