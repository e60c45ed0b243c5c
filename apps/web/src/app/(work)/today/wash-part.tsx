"use client";
import { Countdown } from "../../../components/countdown.tsx";
import { Plate } from "../../../components/plate.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { countWords } from "../../../today-words.ts";
import { Matter, Part } from "./part.tsx";
import type { Summary } from "./today.tsx";

/** A bath with less time than this is worth mixing anew before the next rush. */
const soon = 3 * 3_600_000;

export function WashPart({ summary }: { summary: Summary }) {
  const { states, runs, baths, now } = summary;
  const { site } = useWho();
  const toClean = states["to-clean"] ?? 0;
  const ending = baths.filter((bath) => bath.expired || Date.parse(bath.expiresAt) - Date.parse(now) < soon);
  return (
    <Part title="Wash room" icon="drop" to="/wash-room" toWords="Wash">
      <Matter title={countWords(toClean, "to clean")} pressing={toClean > 0} />
      <Matter title={countWords(runs.length, "wash under way")} pressing={runs.some((run) => run.wetEndedAt === null && run.wetUntil <= now)}>
        <ul className="grid gap-3">
          {runs.map((run) => (
            <li key={run.run} className="grid gap-1">
              <p>
                <strong>{run.bath}</strong>, {run.product}.{" "}
                {run.wetEndedAt === null ? (
                  <Countdown until={run.wetUntil} serverNow={now} label="Wet time left" over="Wet time over: take them out" />
                ) : run.dryAt === null ? (
                  "Drying."
                ) : (
                  <Countdown until={run.dryAt} serverNow={now} label="Drying, still" over="Dry: hang them up" />
                )}
              </p>
              <p className="flex flex-wrap gap-2">
                {run.sets.map((set) => (
                  <Plate key={set.setId} tag={set.tag} />
                ))}
              </p>
            </li>
          ))}
        </ul>
      </Matter>
      <Matter title={baths.length === 0 ? "No bath is mixed" : countWords(ending.length, "bath ending")} pressing={ending.length > 0 || baths.length === 0}>
        <ul className="grid gap-1">
          {ending.map((bath) => (
            <li key={bath.id}>
              <strong>{bath.label}</strong>, {bath.product}: {bath.expired ? "expired at" : "good until"} <Instant at={bath.expiresAt} timeZone={site.timeZone} />
            </li>
          ))}
        </ul>
      </Matter>
    </Part>
  );
}
