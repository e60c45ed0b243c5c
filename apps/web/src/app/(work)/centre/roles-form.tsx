"use client";
import { useMutation } from "@tanstack/react-query";
import { ActForm } from "../../../components/act-form.tsx";
import { useAfterAct } from "../../../components/use-after-act.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Person } from "./person-sheet.tsx";
import { rolesIn, RoleTicks } from "./role-ticks.tsx";

export function RolesForm({ person, onDone }: { person: Person; onDone: () => void }) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const save = useMutation(trpc.people.setRoles.mutationOptions({ onSuccess: (answer) => afterAct(answer, onDone) }));
  return (
    <ActForm act="Record these roles" state={save} onSubmit={(form) => save.mutate({ staffId: person.id, roles: rolesIn(form) })}>
      <RoleTicks held={person.roles} />
    </ActForm>
  );
}
