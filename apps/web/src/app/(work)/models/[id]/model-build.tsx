"use client";
import { Notice } from "../../../../components/notice.tsx";
import { buildLines, type BuildVersion } from "../build-form.ts";
import type { ModelRow } from "../limits-words.ts";
import { AcceptedLine, EarlierVersions, Lines } from "./accepted-line.tsx";
import { EnterBuild } from "./enter-build.tsx";
import { EnteredSection } from "./entered-section.tsx";

/** Ports, threads and bench minutes of a model. */
export function ModelBuild({ model, versions }: { model: ModelRow; versions: readonly BuildVersion[] }) {
  const [now, ...before] = versions;
  return (
    <EnteredSection title="How it is built" enter={now === undefined ? "Enter how it is built" : "Enter a new version"} form={(through) => <EnterBuild model={model} now={now ?? null} {...through} />}>
      {now === undefined ? (
        <Notice kind="warn" title="Not recorded">
          <p>
            Whether its sets go together is not judged{model.kind === "first-stage" ? ", nor how its pressure may change with the cylinder's: its bench test stays not judged" : ""}. Bench hours are not reckoned with.
          </p>
        </Notice>
      ) : (
        <Version model={model} version={now} />
      )}
      <EarlierVersions count={before.length}>
        <ol className="grid gap-4">
          {before.map((version) => (
            <li key={version.nth}>
              <Version model={model} version={version} />
            </li>
          ))}
        </ol>
      </EarlierVersions>
    </EnteredSection>
  );
}

function Version({ model, version }: { model: ModelRow; version: BuildVersion }) {
  return (
    <div className="grid gap-2">
      <Lines lines={buildLines(version, model.kind)} />
      <AcceptedLine accepted={version} />
    </div>
  );
}
