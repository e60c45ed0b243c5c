"use client";
import { ACTS, type Act } from "@hangrail/rules/acts";
import { ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { Instant } from "../../../components/when.tsx";
import { useWho } from "../../../components/who.tsx";
import { countText, hoursText } from "../../../format.ts";
import { actLook } from "../../../act-looks.ts";
import type { Waiting } from "./queue.ts";

/** Sets to clean, the longest waiting first, with what soiled them. */
export function WaitingSets({ waiting, now }: { waiting: readonly Waiting[]; now: string }) {
  return (
    <section aria-labelledby="to-clean" className="grid gap-4">
      <h2 id="to-clean" className="flex items-center gap-2">
        <Icon name="drop" /> To clean: {countText(waiting.length, "set")}
      </h2>
      {waiting.length === 0 ? (
        <p>Nothing waits to be cleaned.</p>
      ) : (
        <ol className="grid gap-2">
          {waiting.map((set) => (
            <li key={set.setId} className="flex flex-wrap items-center gap-x-4 gap-y-1 border-b border-hairline pb-2">
              <span className="text-xl">
                <Plate tag={set.tag} to={`/wash-room/start?tag=${set.tag}`} />
              </span>
              <span className="min-w-0 flex-1 basis-48">
                <Soiled set={set} now={now} />
              </span>
              {set.state === "to-clean" ? null : <StateMark state={set.state} />}
            </li>
          ))}
        </ol>
      )}
      {waiting.length === 0 ? null : (
        <span className="screen-only">
          <ButtonLink href="/wash-room/start?all=1">Put all of them in a bath</ButtonLink>
        </span>
      )}
    </section>
  );
}

const aDay = 24 * 60;

function Soiled({ set, now }: { set: Waiting; now: string }) {
  const { site } = useWho();
  // A set that has waited since before its record was kept has no act behind it.
  const since = (set.since as string | null) ?? null;
  if (since === null) return <>Waiting</>;
  const minutes = Math.max(0, Math.floor((Date.parse(now) - Date.parse(since)) / 60_000));
  return (
    <>
      {isAct(set.soiledBy) ? actLook(set.soiledBy).word : "Soiled"}{" "}
      <span className="text-soft">
        {minutes < aDay ? (
          <>
            {hoursText(minutes)} ago, <Instant at={since} timeZone={site.timeZone} short />
          </>
        ) : (
          <Instant at={since} timeZone={site.timeZone} />
        )}
      </span>
    </>
  );
}

const isAct = (act: string | null): act is Act => act !== null && Object.hasOwn(ACTS, act);
