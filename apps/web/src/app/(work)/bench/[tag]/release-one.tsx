"use client";
import { useMutation } from "@tanstack/react-query";
import { holdsLine } from "../../../../bench-words.ts";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { TextField } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { listText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { beforeRelease } from "../blocks.ts";
import { notAuthorisedFor } from "../not-authorised.ts";
import type { BenchSetView } from "./bench-set.tsx";

type ReleaseOneProps = { set: BenchSetView; makers: readonly string[]; onDone: (sentence: string) => void };

/** Releases this set, once nothing else at the bench stands against it. */
export function ReleaseOne({ set, makers, onDone }: ReleaseOneProps) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { site } = useWho();
  const { requestId, renew } = useRequestId();
  const release = useMutation(
    trpc.bench.release.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          onDone(`${set.tag} is released.${set.holds.some((hold) => hold.code === "not-clean") ? " It goes to the wash room." : ""}`);
        }),
    }),
  );
  const first = beforeRelease(set);
  const unauthorised = notAuthorisedFor(set, makers);
  if (!set.holds.some((hold) => hold.code === "not-released")) return null;
  return (
    <section className="sheet grid gap-4" aria-labelledby="release">
      <h2 id="release">Release</h2>
      {first.length > 0 ? (
        <p>
          First comes what else holds it: <strong>{holdsLine({ ...set, holds: first }, site.units)}</strong>. Then it is released.
        </p>
      ) : (
        <>
          {unauthorised.length === 0 ? null : (
            <Notice kind="warn" title="Not yours to release today">
              <p>You are not authorised for {listText(unauthorised)}. Somebody who is has to release it.</p>
            </Notice>
          )}
          <ActForm act={`Release ${set.tag}`} state={release} onSubmit={(form) => release.mutate({ requestId, setIds: [set.setId], words: textOf(form, "words") })}>
            <TextField label="What was checked" name="words" hint="Pressures at both supplies, creep, cracking effort, leaks, gauge." required maxLength={1000} />
          </ActForm>
        </>
      )}
    </section>
  );
}
