"use client";
import { Icon } from "../../../../components/icon.tsx";
import { Link } from "../../../../components/link.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { numberText } from "../../../../format.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { asksCold, type ModelRow } from "../limits-words.ts";
import { AcceptedLine, EarlierVersions } from "./accepted-line.tsx";
import { EnterKitList } from "./enter-kit-list.tsx";
import { EnteredSection } from "./entered-section.tsx";

export type KitListVersion = Outputs["models"]["manual"]["kitLists"][number];

/** The kits one service of the model takes. */
export function ServiceKitList({ model, versions }: { model: ModelRow; versions: readonly KitListVersion[] }) {
  const seesKits = [useHasRole("technician"), useHasRole("manager")].includes(true);
  const [now, ...before] = versions;
  return (
    <EnteredSection title="Kits of a service" enter={now === undefined ? "Enter the kits of a service" : "Enter a new list"} form={(through) => <EnterKitList model={model} now={now ?? null} {...through} />}>
      {now !== undefined ? (
        <Version version={now} />
      ) : asksCold(model.kind) ? (
        <Notice kind="stop" title="No kit list: no service can be recorded">
          <p>Old seals do not go back. Until a technician has entered which kits a service takes, or that it takes none, a service of this model is refused.</p>
        </Notice>
      ) : (
        <p>None is recorded. A service of this kind can be recorded without.</p>
      )}
      <EarlierVersions count={before.length}>
        <ol className="grid gap-4">
          {before.map((version) => (
            <li key={version.nth}>
              <Version version={version} />
            </li>
          ))}
        </ol>
      </EarlierVersions>
      {seesKits ? (
        <p>
          <Link href="/kits" className="inline-flex min-h-12 items-center">
            To the shelf
          </Link>
        </p>
      ) : null}
    </EnteredSection>
  );
}

function Version({ version }: { version: KitListVersion }) {
  return (
    <div className="grid gap-2">
      {version.lines.length === 0 ? (
        <p>A service takes no kit.</p>
      ) : (
        <ul className="grid gap-1">
          {version.lines.map((line) => (
            <li key={line.kit} className="flex items-center gap-2">
              <Icon name="box" size={22} /> {numberText(line.quantity)} × {line.name}
            </li>
          ))}
        </ul>
      )}
      <AcceptedLine accepted={version} />
    </div>
  );
}
