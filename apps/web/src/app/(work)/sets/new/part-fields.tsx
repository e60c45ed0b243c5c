"use client";
import { kindIn, ROLES, type Role } from "@hangrail/rules/models";
import { Button } from "../../../../components/button.tsx";
import { DayField, Field, SelectField } from "../../../../components/field.tsx";
import type { Outputs } from "../../../../trpc/types.ts";
import { positionWords } from "../../../../words.ts";

type PartFieldsProps = {
  /** The fields' names end in it. */
  at: number;
  role: Role;
  models: Outputs["models"]["list"];
  onRole: (role: Role) => void;
  /** Null: it is the only one. */
  onRemove: (() => void) | null;
};

/** The fields of one component of a new set. */
export function PartFields({ at, role, models, onRole, onRemove }: PartFieldsProps) {
  const fitting = models.filter((model) => model.kind === kindIn(role));
  return (
    <fieldset className="sheet grid gap-4 md:grid-cols-2">
      <legend className="sr-only">{positionWords(role)}</legend>
      <SelectField label="Position" value={role} onChange={(event) => onRole(ROLES.find((one) => one === event.target.value) ?? role)}>
        {ROLES.map((one) => (
          <option key={one} value={one}>
            {positionWords(one)}
          </option>
        ))}
      </SelectField>
      {/* The key: another position has other models. */}
      <SelectField key={role} label="Model" name={`model-${at}`} required defaultValue="" hint={fitting.length === 0 ? "No model of this kind is recorded yet: add it under Models first." : undefined}>
        <option value="">choose…</option>
        {fitting.map((model) => (
          <option key={model.id} value={model.id}>
            {model.maker} {model.name}
            {model.limits === null ? " (limits not recorded)" : ""}
          </option>
        ))}
      </SelectField>
      <Field label="Serial" name={`serial-${at}`} hint="As it stands on the metal." required maxLength={60} spellCheck={false} />
      <span className="hidden md:block" aria-hidden="true" />
      <DayField label="Bought on" name={`bought-${at}`} />
      <DayField label="In use from" name={`use-${at}`} />
      {onRemove === null ? null : (
        <div className="md:col-span-2">
          <Button tone="quiet" onClick={onRemove}>
            Take this component off the list
          </Button>
        </div>
      )}
    </fieldset>
  );
}
