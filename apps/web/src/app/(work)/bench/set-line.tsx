import type { ReactNode } from "react";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import type { ShownSet } from "./blocks.ts";

/** A set in a block of the bench: its tag leads to its page at the bench. */
export function SetLine({ set, children }: { set: { tag: string; state: ShownSet["state"] | null }; children: ReactNode }) {
  return (
    <li className="sheet grid content-start gap-3">
      <div className="flex flex-wrap items-center justify-between gap-3">
        <span className="text-xl">
          <Plate tag={set.tag} to={`/bench/${set.tag}`} />
        </span>
        {set.state === null ? null : <StateMark state={set.state} />}
      </div>
      {children}
    </li>
  );
}
