"use client";
import type { ReactNode } from "react";
import { Button, ButtonLink } from "../../../components/button.tsx";
import { CautionList, HoldList } from "../../../components/hold-list.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useWho } from "../../../components/who.tsx";
import { contextOf, dueLine, type SetView } from "../../../desk-words.ts";

type VerdictProps = {
  set: SetView;
  /** The set scanned last: its verdict is shown huge. Another ready one takes one line. */
  isNewest: boolean;
  onRemove: () => void;
  /** What may be done about a set that stays. */
  children?: ReactNode;
};

/** Whether one set may go: a word and a shape, then every reason why not and who clears it. */
export function Verdict({ set, isNewest, onRemove, children }: VerdictProps) {
  const { today, site } = useWho();
  const context = contextOf(set, site.units);
  const remove = (
    <Button aria-label={`Remove ${set.tag} from the party`} onClick={onRemove}>
      Remove
    </Button>
  );
  if (set.ready && !isNewest) {
    return (
      <div className="grid gap-3 rounded-xl border border-hairline bg-sheet p-3">
        <div className="flex flex-wrap items-center gap-4">
          <Plate tag={set.tag} />
          <span className="tinted inline-flex items-center gap-2 rounded-lg px-2.5 py-1 font-bold" data-tone="ready">
            <Icon name="tick" /> Ready
          </span>
          <span className="ms-auto">{remove}</span>
        </div>
        <CautionList cautions={set.cautions} {...context} />
      </div>
    );
  }
  return (
    <section aria-label={`Set ${set.tag}`} className="sheet grid gap-3 p-4">
      <div className="tinted flex flex-wrap items-center gap-x-4 gap-y-3 rounded-xl p-4" data-tone={set.ready ? "ready" : "stop"} data-verdict={set.ready ? "ready" : "hold"}>
        <Icon name={set.ready ? "tick" : "octagon"} size={isNewest ? 52 : 40} />
        <p className={`leading-none font-bold ${!isNewest ? "text-2xl" : set.ready ? "text-5xl" : "text-4xl"}`}>{set.ready ? "Ready" : "Stays here"}</p>
        <span className="text-xl">
          <Plate tag={set.tag} />
        </span>
      </div>
      {set.ready ? <CautionList cautions={set.cautions} {...context} /> : <HoldList holds={set.holds} cautions={set.cautions} {...context} />}
      {children}
      <div className="flex flex-wrap items-center justify-between gap-4">
        <p className="min-w-0 flex-1 basis-48 text-soft">{dueLine(set, today)}</p>
        {set.parts.length === 0 ? null : <ButtonLink href={`/bench/report?tag=${set.tag}&where=desk`}>Report a fault</ButtonLink>}
        {remove}
      </div>
    </section>
  );
}
