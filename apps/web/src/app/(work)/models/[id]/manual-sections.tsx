"use client";
import { useQuery } from "@tanstack/react-query";
import { benchLimitsOf } from "@hangrail/rules/bench-limits";
import { Notice } from "../../../../components/notice.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import type { ModelRow } from "../limits-words.ts";
import { Approvals } from "./approvals.tsx";
import { BenchLimits } from "./bench-limits.tsx";
import { ModelBuild } from "./model-build.tsx";
import { ServiceKitList } from "./service-kit-list.tsx";

/** What the manual says for the bench: limits of a test, how it is built, kits of a service, what goes with it. */
export function ManualSections({ model }: { model: ModelRow }) {
  const trpc = useTRPC();
  const manual = useQuery(trpc.models.manual.queryOptions({ modelId: model.id }));
  if (manual.error !== null) {
    return (
      <Notice kind="stop" title="What the manual says for the bench could not be read" announce>
        <p>{errorWords(manual.error)}</p>
      </Notice>
    );
  }
  if (manual.data === undefined) return <p role="status">What the manual says for the bench is being read…</p>;
  return (
    <>
      {benchLimitsOf(model.kind).length === 0 ? null : <BenchLimits model={model} versions={manual.data.limits} />}
      <ModelBuild model={model} versions={manual.data.builds} />
      <ServiceKitList model={model} versions={manual.data.kitLists} />
      <Approvals model={model} manual={manual.data} />
    </>
  );
}
