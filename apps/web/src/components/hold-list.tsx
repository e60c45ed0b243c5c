import type { Caution, Hold } from "@hangrail/rules/hand-out";
import { cautionWords, holdGroups, type HoldContext, type HoldGroup } from "../hold-words.ts";
import { Icon } from "./icon.tsx";

type HoldListProps = HoldContext & { holds: readonly Hold[]; cautions: readonly Caution[] };

/** Why a set stays: the leading hold large with who clears it, then the others, then what to bear in mind. The same of several components is said once. */
export function HoldList({ holds, cautions, ...context }: HoldListProps) {
  const [leading, ...others] = holdGroups(holds, context);
  return (
    <div className="grid gap-4">
      {leading === undefined ? null : <LeadingHold hold={leading} />}
      {others.length === 0 ? null : (
        <div>
          <p className="mb-2 font-bold">Also</p>
          <ul className="grid gap-2" aria-label="Further reasons">
            {others.map(({ title, sentences, cleared }) => (
              <li key={`${title} ${cleared}`} className="border-s-4 border-edge ps-3">
                <strong>{title}.</strong> {sentences.join(" ")} {cleared}
              </li>
            ))}
          </ul>
        </div>
      )}
      <CautionList cautions={cautions} {...context} />
    </div>
  );
}

/** Cautions alone, for a set that may go out. */
export function CautionList({ cautions, ...context }: HoldContext & { cautions: readonly Caution[] }) {
  if (cautions.length === 0) return null;
  return (
    <div className="tinted rounded-xl p-4" data-tone="warn">
      <p className="mb-2 flex items-center gap-2 font-bold">
        <Icon name="triangle" /> Bear in mind
      </p>
      <ul className="grid gap-1" aria-label="Cautions">
        {cautions.map((caution) => (
          <li key={`${caution.code} ${caution.component ?? ""}`}>{cautionWords(caution, context)}</li>
        ))}
      </ul>
    </div>
  );
}

function LeadingHold({ hold: { title, sentences, cleared } }: { hold: HoldGroup }) {
  return (
    <section className="tinted flex gap-4 rounded-xl p-5" data-tone="stop">
      <Icon name="octagon" size={44} />
      <div className="min-w-0">
        <p className="text-2xl font-bold">{title}</p>
        {sentences.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
        <p className="mt-1 font-semibold">{cleared}</p>
      </div>
    </section>
  );
}
