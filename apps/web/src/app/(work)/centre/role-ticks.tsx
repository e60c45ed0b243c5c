"use client";
import { Tick } from "../../../components/field.tsx";
import { roleWords, staffRoles, type StaffRole } from "../../../words.ts";

/** Tick boxes for the four roles; read them back with `rolesIn`. */
export function RoleTicks({ held = [] }: { held?: readonly StaffRole[] }) {
  return (
    <fieldset>
      <legend className="mb-1 font-semibold">May work as</legend>
      <div className="flex flex-wrap gap-4">
        {staffRoles.map((role) => (
          <Tick key={role} name="roles" value={role} defaultChecked={held.includes(role)} label={roleWords(role)} />
        ))}
      </div>
    </fieldset>
  );
}

export function rolesIn(form: FormData): StaffRole[] {
  const ticked = form.getAll("roles");
  return staffRoles.filter((role) => ticked.includes(role));
}
