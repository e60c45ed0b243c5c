"use client";
import { COLD_RATINGS, CONNECTIONS } from "@hangrail/rules/models";
import { useEffect, useRef, type SubmitEvent } from "react";
import { Button } from "../../../../components/button.tsx";
import { Choices, Field } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { countText } from "../../../../format.ts";
import { coldWords, connectionWords } from "../../../../words.ts";
import type { FigureName, LimitsForm, LimitsProblems } from "../limits-form.ts";
import { asksCold, asksConnection, type ModelRow } from "../limits-words.ts";
import { FigureField } from "./figure-field.tsx";

type LimitsFieldsProps = {
  model: ModelRow;
  form: LimitsForm;
  problems: LimitsProblems;
  onChange: (next: Partial<LimitsForm>) => void;
  onRead: () => void;
  onCancel: () => void;
};

const setsNone = "The maker sets none";

/** The figures as they stand in the manual. */
export function LimitsFields({ model, form, problems, onChange, onRead, onCancel }: LimitsFieldsProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  // The button that led here is gone; whoever works by keyboard goes on from the top.
  useEffect(() => heading.current?.focus(), []);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    onRead();
  };
  const figure = (name: FigureName, noneWords: string | null = setsNone) => <FigureField name={name} figure={form[name]} error={problems[name]} noneWords={noneWords} onChange={(next) => onChange({ [name]: next })} />;
  const wrong = Object.keys(problems).length;
  return (
    <form method="post" noValidate className="sheet grid max-w-3xl gap-6" onSubmit={submit} aria-labelledby="enter-limits">
      <div>
        <h2 id="enter-limits" ref={heading} tabIndex={-1}>Limits from the maker&apos;s manual</h2>
        <p className="text-soft">Copy what stands there; estimate nothing. Leave no field open: where the manual sets no limit, say so.</p>
      </div>
      <fieldset className="grid gap-4">
        <legend className="mb-2 text-lg font-bold">Service after, whichever comes first</legend>
        {figure("serviceMonths")}
        {figure("serviceDives")}
        {figure("serviceMinutes")}
      </fieldset>
      <Choices
        label="Inspections between services"
        name="hasInspection"
        error={problems.hasInspection}
        choices={[
          { value: "yes", label: "The maker asks for them" },
          { value: "no", label: "The maker asks for none" },
        ]}
        value={form.hasInspection === null ? null : form.hasInspection ? "yes" : "no"}
        onChoose={(value) => onChange({ hasInspection: value === "yes" })}
      />
      {form.hasInspection === true ? (
        <fieldset className="grid gap-4">
          <legend className="mb-2 text-lg font-bold">Inspection after, whichever comes first</legend>
          {figure("inspectionMonths")}
          {figure("inspectionDives")}
          {figure("inspectionMinutes")}
        </fieldset>
      ) : null}
      <fieldset className="grid gap-4">
        <legend className="mb-2 text-lg font-bold">What it is made for</legend>
        {figure("maxO2Tenths", "The maker names none: the site's nitrox line counts")}
        {asksCold(model.kind) ? <Choices label="Cold water" name="coldRating" error={problems.coldRating} choices={COLD_RATINGS.map((value) => ({ value, label: coldWords(value) }))} value={form.coldRating} onChoose={(coldRating) => onChange({ coldRating })} /> : null}
        {asksConnection(model.kind) ? (
          <>
            <Choices label="Connection to the cylinder" name="connection" error={problems.connection} choices={CONNECTIONS.map((value) => ({ value, label: connectionWords(value) }))} value={form.connection} onChoose={(connection) => onChange({ connection })} />
            {figure("maxSupplyBar", null)}
          </>
        ) : null}
      </fieldset>
      <Field label="Where it stands" name="manualPage" hint="The manual, its edition and the page, such as: service manual, 4th edition, page 12." error={problems.manualPage} required maxLength={200} value={form.manualPage} onChange={(event) => onChange({ manualPage: event.target.value })} />
      {wrong === 0 ? null : (
        <Notice kind="stop" title="Not complete yet" announce>
          <p>{countText(wrong, "field")} above still to be put right.</p>
        </Notice>
      )}
      <div className="flex flex-wrap gap-4">
        <Button onClick={onCancel}>Leave it as it is</Button>
        <Button type="submit" tone="primary">
          Read it back to me
        </Button>
      </div>
    </form>
  );
}
