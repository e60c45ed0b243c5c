"use client";
import { useMutation } from "@tanstack/react-query";
import { useTRPC } from "../../../trpc/client.ts";
import { ActForm } from "./act-form.tsx";
import type { Person } from "./person-sheet.tsx";
import { rolesIn, RoleTicks } from "./role-ticks.tsx";
import { useReadAgain } from "./use-read-again.ts";

export function RolesForm({ person, onDone }: { person: Person; onDone: () => void }) {
  const trpc = useTRPC();
  const readAgain = useReadAgain();
  const save = useMutation(trpc.people.setRoles.mutationOptions({ onSuccess: () => readAgain().then(onDone) }));
  return (
    <ActForm act="Record these roles" pending={save.isPending} error={save.error} onSubmit={(form) => save.mutate({ staffId: person.id, roles: rolesIn(form) })}>
      <RoleTicks held={person.roles} />
    </ActForm>
  );
}
