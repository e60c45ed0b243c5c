"use client";
import type { BenchLimitName } from "@hangrail/rules/bench-limits";
import { useId } from "react";
import { Field, Tick } from "../../../../components/field.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { useWho } from "../../../../components/who.tsx";
import type { LimitRow } from "../bench-limit-form.ts";
import { benchLimitWords, hasLowEdge, limitUnit } from "../bench-limit-words.ts";

type BenchLimitRowProps = { name: BenchLimitName; row: LimitRow; error: string | undefined; onChange: (next: Partial<LimitRow>) => void };

/** One limit: its edges in the site's unit, and where the manual says so. */
export function BenchLimitRow({ name, row, error, onChange }: BenchLimitRowProps) {
  const { site } = useWho();
  const id = useId();
  const unit = limitUnit(name, site.units);
  const edge = (which: "low" | "high", label: string) => (
    <Field
      label={`${label} (${unit})`}
      className="max-w-40"
      inputMode="decimal"
      maxLength={20}
      value={row.withdrawn ? "" : row[which]}
      readOnly={row.withdrawn}
      onChange={(event) => onChange({ [which]: event.target.value, suggested: false })}
    />
  );
  return (
    <fieldset className="grid gap-3 border-s-4 border-edge ps-4" aria-describedby={error === undefined ? undefined : `${id}-error`}>
      <legend className="text-lg font-bold">{benchLimitWords(name)}</legend>
      <div className="flex flex-wrap gap-4">
        {hasLowEdge(name) ? edge("low", "From") : null}
        {edge("high", hasLowEdge(name) ? "To" : "At most")}
      </div>
      {row.suggested ? (
        <p className="flex gap-2 font-semibold">
          <Icon name="triangle" size={22} /> Starting value, not the maker&apos;s: put the manual&apos;s figure here.
        </p>
      ) : null}
      <Field label="Where it stands" hint="The manual, its edition and the page." maxLength={200} value={row.page} onChange={(event) => onChange({ page: event.target.value })} />
      <Tick label="Take this limit back: not judged from now on" checked={row.withdrawn} onChange={(event) => onChange({ withdrawn: event.target.checked, suggested: false })} />
      {error === undefined ? null : (
        <p id={`${id}-error`} className="font-semibold text-danger">
          Not right yet: {error}
        </p>
      )}
    </fieldset>
  );
}
