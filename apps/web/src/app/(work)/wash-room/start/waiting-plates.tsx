"use client";
import { useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { Plate } from "../../../../components/plate.tsx";
import type { Waiting } from "../queue.ts";

const shownFirst = 8;

/** The sets that wait, each as a plate to press, for whoever has no scanner in hand. */
export function WaitingPlates({ waiting, onTake }: { waiting: readonly Waiting[]; onTake: (tag: string) => void }) {
  const [all, setAll] = useState(false);
  const shown = all ? waiting : waiting.slice(0, shownFirst);
  return (
    <section aria-labelledby="waiting" className="grid gap-4">
      <h2 id="waiting">Waiting, the longest first</h2>
      {waiting.length === 0 ? <p>No other set waits.</p> : null}
      <ul className="grid grid-cols-2 gap-4 sm:grid-cols-4 xl:grid-cols-2">
        {shown.map((set) => (
          <li key={set.setId}>
            <Button size="wash" className="w-full px-2!" aria-label={`Add ${set.tag}`} onClick={() => onTake(set.tag)}>
              <Plate tag={set.tag} />
            </Button>
          </li>
        ))}
      </ul>
      {waiting.length <= shownFirst ? null : <Button onClick={() => setAll(!all)}>{all ? "Show fewer" : `Show all ${waiting.length}`}</Button>}
    </section>
  );
}
