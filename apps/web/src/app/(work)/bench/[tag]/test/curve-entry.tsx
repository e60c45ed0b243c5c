"use client";
import dynamic from "next/dynamic";
import { useEffect, useRef, useState } from "react";
import { readingWords } from "../../../../../bench-test-words.ts";
import { Button } from "../../../../../components/button.tsx";
import { SelectField, TextField } from "../../../../../components/field.tsx";
import { columnWords } from "./curve-words.ts";
import { Judged } from "./entries.tsx";
import { useEntries } from "./test-context.ts";
import { pasteCurve, type Supply } from "./typed-test.ts";

const CurvePicture = dynamic(() => import("./curve-picture.tsx").then((module) => module.CurvePicture), { ssr: false, loading: () => <p role="status">The curve is being drawn…</p> });

type CurveEntryProps = { entry: string; supply: Supply; band: { low: number | null; high: number | null } | null };

/** A column pasted from a logging gauge: lock-up and creep are found in it, drawn and judged. */
export function CurveEntry({ entry, supply, band }: CurveEntryProps) {
  const { pasted, paste, units, itemAt } = useEntries();
  const curve = pasted[entry];
  const [open, setOpen] = useState(curve !== undefined);
  // What was pressed is gone: whoever works by keyboard goes on where its work is done.
  const box = useRef<HTMLDivElement>(null);
  const moved = useRef(false);
  useEffect(() => {
    if (moved.current) box.current?.querySelector<HTMLElement>("textarea, button")?.focus();
    moved.current = false;
  }, [open]);
  const turn = (next: boolean) => {
    moved.current = true;
    setOpen(next);
  };
  if (!open) {
    return (
      <div ref={box}>
        <Button onClick={() => turn(true)}>{supply === "high" ? "Paste a curve, high supply…" : "Paste a curve, low supply…"}</Button>
      </div>
    );
  }
  const told = curve?.told ?? {};
  const text = curve?.text ?? "";
  const enter = (next: string, how: typeof told) => paste(entry, next.trim() === "" && Object.keys(how).length === 0 ? null : pasteCurve(next, how));
  const refused = curve !== undefined && text.trim() !== "" && curve.column.answer === "refused" ? curve.column.reason : null;
  return (
    <div ref={box} className="grid gap-4">
      <TextField
        label={`Curve at the ${supply} supply`}
        hint="Two columns from the logging gauge: time and pressure, from before the valve is opened until five minutes after lock-up."
        rows={5}
        spellCheck={false}
        data-entry={entry}
        value={text}
        error={refused === null ? null : columnWords(refused)}
        onChange={(event) => enter(event.target.value, told)}
      />
      <div className="grid gap-4 sm:grid-cols-2">
        <SelectField label={`Unit of the ${supply} curve`} value={told.unit ?? ""} onChange={(event) => enter(text, { ...without(told, "unit"), ...(event.target.value === "bar" || event.target.value === "psi" ? { unit: event.target.value } : {}) })}>
          <option value="">as it says</option>
          <option value="bar">bar</option>
          <option value="psi">psi</option>
        </SelectField>
        {refused?.code === "decimal-mark-open" || told.mark !== undefined ? (
          <SelectField label={`Commas in the ${supply} curve`} value={told.mark ?? ""} onChange={(event) => enter(text, { ...without(told, "mark"), ...(event.target.value === "comma" || event.target.value === "point" ? { mark: event.target.value } : {}) })}>
            <option value="">choose…</option>
            <option value="comma">are decimals: 9,500 is nine and a half</option>
            <option value="point">part thousands: 9,500 is nine thousand five hundred</option>
          </SelectField>
        ) : null}
      </div>
      {curve?.column.answer === "points" && curve.found !== null ? (
        <>
          <CurvePicture title={`Curve at the ${supply} supply`} points={curve.column.points} found={curve.found} band={band} units={units} />
          {(["intermediate-pressure", "creep"] as const).map((name) =>
            itemAt(`${entry} ${name}`) === null ? null : (
              <div key={name}>
                <p className="font-semibold">{readingWords(name, name === "creep" ? null : supply)}</p>
                <Judged entry={`${entry} ${name}`} />
              </div>
            ),
          )}
        </>
      ) : null}
      <div>
        <Button
          tone="quiet"
          onClick={() => {
            paste(entry, null);
            turn(false);
          }}
        >
          Type the figures instead
        </Button>
      </div>
    </div>
  );
}

function without<T extends object, K extends keyof T>(from: T, key: K): Omit<T, K> {
  const { [key]: _, ...others } = from;
  return others;
}
