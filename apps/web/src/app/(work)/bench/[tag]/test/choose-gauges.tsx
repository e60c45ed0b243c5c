"use client";
import type { BenchLimit, BenchLimitName } from "@hangrail/rules/bench-limits";
import { calibrationWords, gaugeErrorWords, isOutOfCalibration, provesWords } from "../../../../../bench-test-words.ts";
import { SelectField } from "../../../../../components/field.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { gaugesFor, PURPOSES, type Chosen, type Purpose, type TestForm, type TestGaugeRow } from "./typed-test.ts";

const LABELS: Readonly<Record<Purpose, string>> = { pressure: "Intermediate pressure and creep are read on", effort: "Breathing efforts are read on", master: "The set's gauge is compared with" };
/** What is judged of what is read on it. */
const USED_FOR: Readonly<Record<Purpose, readonly BenchLimitName[]>> = {
  pressure: ["intermediate-pressure", "creep", "supply-change"],
  effort: ["cracking-effort-primary", "cracking-effort-alternate", "exhalation-effort"],
  master: ["gauge-error-low", "gauge-error"],
};

type ChooseGaugesProps = { form: TestForm; chosen: Chosen; onChoose: (purpose: Purpose, id: string | null) => void };

/** Which test gauge each kind of reading is read on, and what that gauge can and cannot prove. */
export function ChooseGauges({ form, chosen, onChoose }: ChooseGaugesProps) {
  const wanted = PURPOSES.filter((purpose) => form.parts.some(({ role }) => (purpose === "pressure" ? role === "first-stage" : purpose === "effort" ? role === "primary" || role === "alternate" : role === "gauge")));
  return (
    <section aria-labelledby="test-gauges" className="grid gap-5">
      <h2 id="test-gauges">Test gauges</h2>
      {wanted.map((purpose) => (
        <ChooseOne key={purpose} purpose={purpose} form={form} chosen={chosen[purpose]} onChoose={(id) => onChoose(purpose, id)} />
      ))}
    </section>
  );
}

type ChooseOneProps = { purpose: Purpose; form: TestForm; chosen: string | null; onChoose: (id: string | null) => void };

function ChooseOne({ purpose, form, chosen, onChoose }: ChooseOneProps) {
  const fitting = gaugesFor(purpose, form.gauges);
  const gauge = fitting.find(({ id }) => id === chosen);
  if (fitting.length === 0) {
    return (
      <Notice kind="stop" title={`No test gauge for ${purpose === "effort" ? "breathing efforts" : "pressures"}`}>
        <p>This site has none in use. What is read without one is recorded, but not judged: the test cannot pass.</p>
      </Notice>
    );
  }
  return (
    <div className="grid gap-2">
      <SelectField label={LABELS[purpose]} value={chosen ?? ""} onChange={(event) => onChoose(event.target.value === "" ? null : event.target.value)}>
        <option value="">choose…</option>
        {fitting.map((one) => (
          <option key={one.id} value={one.id}>
            {one.name}, {one.serial}
            {isOutOfCalibration(one) ? " (out of calibration)" : ""}
          </option>
        ))}
      </SelectField>
      {gauge === undefined ? <p className="font-semibold">Choose one: without a test gauge nothing is judged.</p> : <GaugeSays gauge={gauge} limits={limitsOf(form, purpose)} />}
    </div>
  );
}

function limitsOf(form: TestForm, purpose: Purpose): readonly BenchLimit[] {
  const limits = form.parts.flatMap((part) => part.limits.filter(({ name }) => USED_FOR[purpose].includes(name) && name !== (part.role === "primary" ? "cracking-effort-alternate" : "cracking-effort-primary")));
  return limits.toSorted((one, other) => USED_FOR[purpose].indexOf(one.name) - USED_FOR[purpose].indexOf(other.name));
}

function GaugeSays({ gauge, limits }: { gauge: TestGaugeRow; limits: readonly BenchLimit[] }) {
  const { site } = useWho();
  const calibration = calibrationWords(gauge);
  return (
    <>
      <p>
        {gaugeErrorWords(gauge, site.units)} {provesWords(gauge, limits, site.units).join(" ")}
      </p>
      {calibration === null ? null : (
        <Notice kind={isOutOfCalibration(gauge) ? "stop" : "warn"} title={isOutOfCalibration(gauge) ? "Out of calibration" : "Calibration ends soon"}>
          <p>{calibration}</p>
        </Notice>
      )}
    </>
  );
}
