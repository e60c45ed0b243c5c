"use client";
import type { ReactNode } from "react";
import { Button } from "../../../components/button.tsx";
import { CautionList, HoldList } from "../../../components/hold-list.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useWho } from "../../../components/who.tsx";
import { contextOf, dueLine, type SetView } from "../../../desk-words.ts";

type VerdictProps = {
  set: SetView;
  /** The set scanned last, or one that stays: shown large. Otherwise one line. */
  large: boolean;
  onTakeOut: () => void;
  /** What may be done about a set that stays. */
  children?: ReactNode;
};

/** Whether one set may go: a word and a shape, then every reason why not and who clears it. */
export function Verdict({ set, large, onTakeOut, children }: VerdictProps) {
  const { today, site } = useWho();
  const context = contextOf(set, site.units);
  const takeOut = (
    <Button aria-label={`Take ${set.tag} out of the party`} onClick={onTakeOut}>
      Take out
    </Button>
  );
  if (set.ready && !large) {
    return (
      <div className="grid gap-3 rounded-xl border border-hairline bg-sheet p-3">
        <div className="flex flex-wrap items-center gap-4">
          <Plate tag={set.tag} />
          <span className="tinted inline-flex items-center gap-2 rounded-lg px-2.5 py-1 font-bold" data-tone="ready">
            <Icon name="tick" /> Ready
          </span>
          <span className="ms-auto">{takeOut}</span>
        </div>
        <CautionList cautions={set.cautions} {...context} />
      </div>
    );
  }
  return (
    <section aria-label={`Set ${set.tag}`} className="sheet grid gap-4">
      <div className="tinted flex flex-wrap items-center gap-x-6 gap-y-3 rounded-xl p-5" data-tone={set.ready ? "ready" : "stop"} data-verdict={set.ready ? "ready" : "hold"}>
        <Icon name={set.ready ? "tick" : "octagon"} size={72} />
        <p className="text-5xl leading-none font-bold">{set.ready ? "Ready" : "Stays here"}</p>
        <span className="text-3xl">
          <Plate tag={set.tag} />
        </span>
      </div>
      {set.ready ? <CautionList cautions={set.cautions} {...context} /> : <HoldList holds={set.holds} cautions={set.cautions} {...context} />}
      {children}
      <div className="flex flex-wrap items-center justify-between gap-4">
        <p className="min-w-0 text-soft">{dueLine(set, today)}</p>
        {takeOut}
      </div>
    </section>
  );
}
