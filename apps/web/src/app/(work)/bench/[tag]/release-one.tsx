"use client";
import { useMutation, useQuery } from "@tanstack/react-query";
import { ActForm, textOf } from "../../../../components/act-form.tsx";
import { ButtonLink } from "../../../../components/button.tsx";
import { TextField } from "../../../../components/field.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useHasRole } from "../../../../components/who.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { Lacks } from "../lacks.tsx";
import { NotReleased } from "../release-many.tsx";
import type { BenchSetView } from "./bench-set.tsx";

type ReleaseOneProps = {
  set: Pick<BenchSetView, "setId" | "tag" | "holds">;
  /** The order the test would belong to. */
  order?: string | null;
  onDone: (sentence: string) => void;
};

/** Releases this set, or says everything that its release still lacks. */
export function ReleaseOne({ set, order = null, onDone }: ReleaseOneProps) {
  const trpc = useTRPC();
  const technician = useHasRole("technician");
  const check = useQuery(trpc.bench.releaseCheck.queryOptions({ setId: set.setId }));
  if (!set.holds.some((hold) => hold.code === "not-released")) return null;
  const lacks = check.data?.lacks;
  return (
    <section className="sheet grid gap-4" aria-labelledby="release">
      <h2 id="release">Release</h2>
      {check.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(check.error)}</p>
        </Notice>
      ) : lacks === undefined ? (
        <p role="status">Being read…</p>
      ) : lacks.length > 0 ? (
        <>
          <div>
            <p className="font-semibold">It cannot be released yet:</p>
            <Lacks lacks={lacks} />
          </div>
          {technician && lacks.some(({ code }) => code === "test") ? (
            <div>
              <ButtonLink href={`/bench/${set.tag}/test${order === null ? "" : `?order=${order}`}`} tone="primary">
                Test it on the bench
              </ButtonLink>
            </div>
          ) : null}
        </>
      ) : technician ? (
        <ReleaseForm set={set} onDone={onDone} />
      ) : (
        <p>Nothing is missing. A technician releases it.</p>
      )}
    </section>
  );
}

function ReleaseForm({ set, onDone }: Pick<ReleaseOneProps, "set" | "onDone">) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const release = useMutation(
    trpc.bench.release.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          if (answer.answer === "lacks") return;
          renew();
          onDone(`${set.tag} is released.${set.holds.some((hold) => hold.code === "not-clean") ? " It goes to the wash room." : ""}`);
        }),
    }),
  );
  return (
    <ActForm act={`Release ${set.tag}`} state={release} onSubmit={(form) => release.mutate({ requestId, setIds: [set.setId], words: textOf(form, "words") })}>
      <NotReleased answer={release.data} />
      <TextField label="What was checked" name="words" hint="As it shall stand in the record: the test passed, what else was looked at." required maxLength={1000} />
    </ActForm>
  );
}
