"use client";
import { benchLimitsOf } from "@hangrail/rules/bench-limits";
import { Icon } from "../../../../components/icon.tsx";
import { useWho } from "../../../../components/who.tsx";
import type { Outputs } from "../../../../trpc/types.ts";
import { benchLimitText, benchLimitWords } from "../bench-limit-words.ts";
import type { ModelRow } from "../limits-words.ts";
import { AcceptedLine, EarlierVersions } from "./accepted-line.tsx";
import { EnterBenchLimits } from "./enter-bench-limits.tsx";
import { EnteredSection } from "./entered-section.tsx";

type Version = Outputs["models"]["manual"]["limits"][number];

/** What a bench test of this model is judged by, limit by limit. */
export function BenchLimits({ model, versions }: { model: ModelRow; versions: readonly Version[] }) {
  const { site } = useWho();
  return (
    <EnteredSection title="Limits of the bench test" enter="Enter bench limits" form={(through) => <EnterBenchLimits model={model} {...through} />}>
      <p>A reading is judged by these and by nothing else. A limit that is not recorded leaves the test not judged, and not judged is never a pass.</p>
      <ul className="grid gap-4">
        {benchLimitsOf(model.kind).map((name) => {
          // Newest first, so the one in force leads.
          const [now, ...before] = versions.filter((version) => version.name === name);
          return (
            <li key={name} className="grid gap-1 border-s-4 border-edge ps-3">
              <h3>{benchLimitWords(name)}</h3>
              {now === undefined ? (
                <p className="flex gap-2 font-bold">
                  <Icon name="octagon" size={22} /> Not recorded: not judged.
                </p>
              ) : (
                <>
                  <p className="text-lg">{benchLimitText(name, now, site.units)}</p>
                  <AcceptedLine accepted={now} />
                </>
              )}
              <EarlierVersions count={before.length}>
                <ol className="grid gap-3">
                  {before.map((version) => (
                    <li key={version.nth}>
                      <p>{benchLimitText(name, version, site.units)}</p>
                      <AcceptedLine accepted={version} />
                    </li>
                  ))}
                </ol>
              </EarlierVersions>
            </li>
          );
        })}
      </ul>
    </EnteredSection>
  );
}
