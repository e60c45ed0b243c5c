"use client";
import { useId } from "react";
import { partName } from "../../../../desk-words.ts";
import { listText } from "../../../../format.ts";
import type { BenchSetView } from "./bench-set.tsx";
import type { ForService } from "./kit-entry.ts";

type OxygenTickProps = { parts: BenchSetView["parts"]; answer: ForService | null; serviced: readonly string[] };

/** "Done oxygen-clean", with what it means and what hangs on it for the components ticked. */
export function OxygenTick({ parts, answer, serviced }: OxygenTickProps) {
  const id = useId();
  const named = (wanted: (one: ForService["components"][number]) => boolean): string =>
    listText((answer?.components ?? []).filter((one) => serviced.includes(one.component) && wanted(one)).flatMap((one) => parts.filter((part) => part.id === one.component).map(partName)));
  const loses = named((one) => one.losesOxygen);
  const gains = named((one) => one.gainsOxygen && !one.losesOxygen);
  return (
    <div className="grid gap-2">
      <label className="tick">
        <input type="checkbox" name="oxygenClean" aria-describedby={id} />
        <span>Done oxygen-clean</span>
      </label>
      <div id={id} className="text-soft">
        <p>Every part degreased and looked at for it, clean hands and tools, oxygen-compatible lubricant and seals. It needs your own authorisation for oxygen. One smear of other grease undoes it, so a service without this tick ends what was clean before.</p>
        {loses === "" ? null : (
          <p className="font-semibold text-ink">
            Without it, from now on no more than 40 % oxygen: {loses}.
          </p>
        )}
        {gains === "" ? null : <p>With it, more than 40 % oxygen, up to the maker&apos;s figure: {gains}.</p>}
      </div>
    </div>
  );
}
