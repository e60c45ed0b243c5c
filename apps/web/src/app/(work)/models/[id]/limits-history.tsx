"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../../components/notice.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";
import type { ModelRow } from "../limits-words.ts";
import { LimitsShown } from "./limits-shown.tsx";

/** Versions of a model's limits that are no longer in force. Nothing is overwritten. */
export function LimitsHistory({ model }: { model: ModelRow }) {
  const trpc = useTRPC();
  const history = useQuery(trpc.models.history.queryOptions({ modelId: model.id }));
  if (history.error !== null) {
    return (
      <Notice kind="stop" title="Earlier versions could not be read" announce>
        <p>{errorWords(history.error)}</p>
      </Notice>
    );
  }
  if (history.data === undefined) return <p role="status">Being read…</p>;
  const earlier = history.data.filter((version) => version.nth !== model.limits?.nth);
  return (
    <section aria-labelledby="versions" className="grid gap-4">
      <h2 id="versions">Earlier versions of the limits</h2>
      {earlier.length === 0 ? <p>There are none.</p> : null}
      <ol className="grid gap-4">
        {earlier.map((version) => (
          <li key={version.nth} className="sheet grid gap-3">
            <h3>Version {version.nth}</h3>
            <LimitsShown model={model} limits={version} />
          </li>
        ))}
      </ol>
    </section>
  );
}
