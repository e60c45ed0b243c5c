"use client";
import { Choices, Field } from "../../../../components/field.tsx";
import type { VolumeUnit } from "./volume.ts";

export type TypedVolume = { text: string; unit: VolumeUnit };

const units = [
  { value: "ml", label: "ml" },
  { value: "l", label: "litres" },
] as const;

type VolumeFieldProps = { label: string; name: string; value: TypedVolume; error: string | null; onChange: (value: TypedVolume) => void };

/** A measured volume and its unit. */
export function VolumeField({ label, name, value, error, onChange }: VolumeFieldProps) {
  return (
    <div className="flex flex-wrap items-end gap-4">
      <div className="flex-1 basis-40">
        <Field label={label} inputMode="decimal" value={value.text} error={error} onChange={(event) => onChange({ ...value, text: event.target.value })} required maxLength={10} />
      </div>
      <Choices label={<span className="sr-only">Unit of {label.toLowerCase()}</span>} name={`${name}-unit`} choices={units} value={value.unit} onChoose={(unit) => onChange({ ...value, unit })} />
    </div>
  );
}
