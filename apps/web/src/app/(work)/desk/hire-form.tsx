"use client";
import type { Connection } from "@hangrail/rules/models";
import { Choices, DayField, Field } from "../../../components/field.tsx";
import { cylinderText, type Units } from "../../../format.ts";
import { detailProblemWords } from "../../../desk-words.ts";
import { connectionWords } from "../../../words.ts";
import { pressures, type Back, type DetailField, type DetailProblem, type Gas, type HireDetails } from "./hire-details.ts";
import { Stepper } from "./stepper.tsx";

const connections: readonly Connection[] = ["yoke", "din-232", "din-300", "m26"];
const backs: readonly { value: Back; label: string }[] = [
  { value: "today", label: "Today" },
  { value: "tomorrow", label: "Tomorrow" },
  { value: "later", label: "Another day" },
];
const gases: readonly { value: Gas; label: string }[] = [
  { value: "air", label: "Air 21" },
  { value: "ean32", label: "EAN32" },
  { value: "ean36", label: "EAN36" },
  { value: "other", label: "Other" },
];
const purposes = [
  { value: "diving", label: "Diving" },
  { value: "teaching", label: "Teaching" },
] as const;

type HireFormProps = {
  details: HireDetails;
  problems: readonly DetailProblem[];
  today: string;
  units: Units;
  onChange: (details: HireDetails) => void;
};

/** What the sets are wanted for. Every change judges the whole party again. */
export function HireForm({ details, problems, today, units, onChange }: HireFormProps) {
  const change = (some: Partial<HireDetails>) => onChange({ ...details, ...some });
  const errorOf = (field: DetailField) => {
    const problem = problems.find((one) => one.field === field);
    return problem === undefined ? null : detailProblemWords(problem, units);
  };
  return (
    <section aria-labelledby="hire-details" className="sheet grid content-start gap-5">
      <h2 id="hire-details">The hire</h2>
      <Choices label="Back on" name="back" choices={backs} value={details.back} onChoose={(back) => change({ back })} />
      {details.back === "later" ? <DayField label="Day" min={today} required defaultValue={details.backOn} error={errorOf("backOn")} onChange={(event) => change({ backOn: event.target.value })} /> : null}
      <Stepper label="Planned dives" value={details.dives} least={1} most={99} onStep={(dives) => change({ dives })} />
      <Choices label="Used for" name="purpose" choices={purposes} value={details.teaching ? "teaching" : "diving"} onChoose={(purpose) => change({ teaching: purpose === "teaching" })} />
      <Choices label="Gas" name="gas" choices={gases} value={details.gas} onChoose={(gas) => change({ gas })} />
      {details.gas === "other" ? <Field label="Oxygen, %" inputMode="decimal" required value={details.oxygen} error={errorOf("oxygen")} onChange={(event) => change({ oxygen: event.target.value })} /> : null}
      <Choices label="Cylinder valve" name="connection" choices={connections.map((value) => ({ value, label: connectionWords(value) }))} value={details.connection} onChoose={(connection) => change({ connection })} />
      <Choices
        label="Cylinder pressure"
        name="bar"
        choices={pressures.map((bar) => ({ value: String(bar), label: cylinderText(bar * 100, units) }))}
        value={String(details.bar)}
        onChoose={(text) => change({ bar: pressures.find((bar) => String(bar) === text) ?? details.bar })}
      />
      <div className="grid gap-5 sm:grid-cols-2">
        <Field label={units === "metric" ? "Water, °C" : "Water, °F"} inputMode="decimal" required value={details.water} error={errorOf("water")} onChange={(event) => change({ water: event.target.value })} />
        <Field label={units === "metric" ? "Deepest, m" : "Deepest, ft"} inputMode="decimal" required value={details.depth} error={errorOf("depth")} onChange={(event) => change({ depth: event.target.value })} />
      </div>
    </section>
  );
}
