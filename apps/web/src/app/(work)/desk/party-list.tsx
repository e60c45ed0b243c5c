"use client";
import { useEffect, useRef, type RefObject } from "react";
import { ButtonLink } from "../../../components/button.tsx";
import { countText } from "../../../format.ts";
import type { Hire } from "./hire-details.ts";
import { Instead } from "./instead.tsx";
import { withTags } from "./tags-of.ts";
import type { useParty } from "./use-party.ts";
import { Verdict } from "./verdict.tsx";

type PartyListProps = {
  party: ReturnType<typeof useParty>;
  latest: string | null;
  /** Null while the details are not right. */
  hire: Hire | null;
  onChoose: (held: string, tag: string) => void;
  onRemove: (tag: string) => void;
};

/** The party: the set scanned last on top and large, every set that stays large too, the other ready ones a line each. */
export function PartyList({ party, latest, hire, onChoose, onRemove }: PartyListProps) {
  const place = useRef<HTMLDivElement>(null);
  const newest = party.sets.find((set) => set.tag === latest);
  const shown = [...(newest === undefined ? [] : [newest]), ...party.sets.filter((set) => set !== newest).reverse()];
  // Sets are proposed for one that stays at a time, so that each number key means one thing.
  const proposeFor = shown.find((set) => !set.ready && set.out === null)?.tag;
  useFocusOnHeld(place, newest === undefined || newest.ready ? null : newest.tag);

  if (party.sets.length === 0) {
    return party.waitingFor.length > 0 ? <p role="status">Being looked up…</p> : <p className="text-soft">No set is here yet.</p>;
  }
  return (
    <section aria-label="The party" className="grid gap-4">
      {party.sets.length < 2 ? null : <h2>{countText(party.sets.length, "set")} in this party</h2>}
      {shown.map((set) => (
        <div key={set.tag} ref={set === newest ? place : undefined} tabIndex={-1} className="rounded-xl">
          <Verdict set={set} isNewest={set === newest} onRemove={() => onRemove(set.tag)}>
            {set.out === null ? null : (
              <div>
                <ButtonLink href={withTags("/desk/back", [set.tag])} tone="primary" size="desk">
                  Take {set.tag} back
                </ButtonLink>
              </div>
            )}
            {set.tag === proposeFor && hire !== null ? <Instead hire={hire} held={set.tag} party={party.sets.map((one) => one.tag)} onChoose={(tag) => onChoose(set.tag, tag)} /> : null}
          </Verdict>
        </div>
      ))}
    </section>
  );
}

/**
 * A set that stays takes the focus, so that Enter takes an out set back and number keys
 * choose another. Not while something is being written: no key of it may be lost.
 */
function useFocusOnHeld(place: RefObject<HTMLDivElement | null>, held: string | null) {
  useEffect(() => {
    if (held === null) return;
    const active = document.activeElement;
    if (active instanceof HTMLInputElement && active.value !== "") return;
    (place.current?.querySelector<HTMLElement>("a.button") ?? place.current)?.focus();
  }, [place, held]);
}
