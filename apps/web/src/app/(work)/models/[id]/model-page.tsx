"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { PageHead } from "../../../../components/page-head.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import { kindWords, type ModelRow } from "../limits-words.ts";
import { EnterLimits } from "./enter-limits.tsx";
import { LimitsHistory } from "./limits-history.tsx";
import { LimitsShown } from "./limits-shown.tsx";
import { ManualSections } from "./manual-sections.tsx";

/** One model: what counts for it now, the way to new limits, and every version before. */
export function ModelPage({ id }: { id: string }) {
  const trpc = useTRPC();
  const models = useQuery(trpc.models.list.queryOptions());
  if (models.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(models.error)}</p>
      </Notice>
    );
  }
  if (models.data === undefined) return <p role="status">Being read…</p>;
  const model = models.data.find((one) => one.id === id);
  if (model === undefined) {
    return (
      <div className="grid gap-6">
        <h1>There is no such model</h1>
        <div>
          <ButtonLink href="/models">To every model</ButtonLink>
        </div>
      </div>
    );
  }
  return <Shown model={model} />;
}

function Shown({ model }: { model: ModelRow }) {
  const technician = useHasRole("technician");
  const [entering, setEntering] = useState(false);
  const [accepted, setAccepted] = useState<number | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (accepted !== null) heading.current?.focus();
  }, [accepted]);
  const begin = () => {
    setAccepted(null);
    setEntering(true);
  };
  return (
    <>
      <PageHead title={`${model.maker} ${model.name}`} lead={`${kindWords(model.kind)}, in ${countText(model.sets, "set")} of this site.`}>
        <ButtonLink href={`/sets?model=${model.id}`}>Its sets</ButtonLink>
      </PageHead>
      <div className="grid gap-8">
        {accepted === null ? null : (
          <Notice kind="ok" announce>
            <p>Accepted. {accepted === 1 ? "1 set is" : `${countText(accepted, "set")} are`} judged by these limits from now on.</p>
          </Notice>
        )}
        {entering ? (
          <EnterLimits
            model={model}
            onAccepted={(sets) => {
              setEntering(false);
              setAccepted(sets);
            }}
            onCancel={() => setEntering(false)}
          />
        ) : (
          <section aria-labelledby="in-force" className="sheet grid gap-4">
            <h2 id="in-force" ref={heading} tabIndex={-1}>Limits in force</h2>
            {model.limits === null ? (
              <Notice kind="stop" title="Not judged: no limits accepted yet">
                <p>{model.sets === 1 ? "1 set waits for this." : `${countText(model.sets, "set")} wait for this.`} A technician reads them in the maker&apos;s manual and accepts them here.</p>
              </Notice>
            ) : (
              <LimitsShown model={model} limits={model.limits} />
            )}
            {technician ? (
              <div>
                <Button tone="primary" onClick={begin}>
                  {model.limits === null ? "Enter the limits" : "Enter new limits"}
                </Button>
              </div>
            ) : (
              <p className="text-soft">Limits are entered by a technician.</p>
            )}
          </section>
        )}
        <ManualSections model={model} />
        <LimitsHistory model={model} />
      </div>
    </>
  );
}
