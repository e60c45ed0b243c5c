"use client";
import { useId } from "react";
import { Button } from "../../../components/button.tsx";

type StepperProps = {
  label: string;
  /** Null while it is not said. */
  value: number | null;
  least: number;
  most: number;
  onStep: (value: number) => void;
  /** Stands in place of the number while it is not said. */
  unsaid?: string;
  /** Where stepping begins while it is not said. */
  from?: number;
};

/** A whole number by two big buttons. */
export function Stepper({ label, value, least, most, onStep, unsaid = "", from = least }: StepperProps) {
  const id = useId();
  const step = (by: number) => onStep(Math.min(most, Math.max(least, value === null ? from : value + by)));
  return (
    <div role="group" aria-labelledby={id}>
      <p id={id} className="mb-1 font-semibold">
        {label}
      </p>
      <div className="flex flex-wrap items-center gap-4">
        <Button size="desk" aria-label={`${label}: one fewer`} refusedBecause={value !== null && value <= least ? `Not fewer than ${least}.` : null} onClick={() => step(-1)}>
          −
        </Button>
        <output aria-live="polite" className="min-w-16 text-center text-2xl font-bold">
          {value ?? unsaid}
        </output>
        <Button size="desk" aria-label={`${label}: one more`} refusedBecause={value !== null && value >= most ? `Not more than ${most}.` : null} onClick={() => step(1)}>
          +
        </Button>
      </div>
    </div>
  );
}
