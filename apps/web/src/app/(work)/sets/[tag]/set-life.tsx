"use client";
import { dayOf } from "@hangrail/rules/calendar";
import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { lifeWords, type LifeEntry } from "../../../../act-words.ts";
import { Button } from "../../../../components/button.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { dayText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";

/** A set's whole life, the newest first: who did what to it, and when. */
export function SetLife({ setId }: { setId: string }) {
  return (
    <section aria-labelledby="life">
      <h2 id="life">Its life so far</h2>
      <LifePage setId={setId} before={null} shownDay={null} />
    </section>
  );
}

/** One page of it, and below it the next older one when asked for. */
function LifePage({ setId, before, shownDay }: { setId: string; before: number | null; shownDay: string | null }) {
  const trpc = useTRPC();
  const { site } = useWho();
  const [older, setOlder] = useState(false);
  const life = useQuery(trpc.sets.life.queryOptions({ setId, before }, { placeholderData: keepPreviousData }));
  if (life.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(life.error)}</p>
      </Notice>
    );
  }
  if (life.data === undefined) return <p role="status">Being read…</p>;
  const { entries, more } = life.data;
  const days = byDay(entries, site.timeZone);
  const last = entries.at(-1);
  return (
    <>
      {entries.length === 0 ? <p>Nothing is recorded yet.</p> : null}
      {days.map(({ day, acts }) => (
        <div key={day}>
          {day === shownDay ? null : <h3 className="mt-6 mb-2 border-b-2 border-edge pb-1">{dayText(day)}</h3>}
          <ol className="grid">
            {acts.map((entry) => (
              <Act key={entry.seq} entry={entry} />
            ))}
          </ol>
        </div>
      ))}
      {more && !older ? (
        <div className="screen-only mt-4">
          <Button onClick={() => setOlder(true)}>Show older acts</Button>
        </div>
      ) : null}
      {more && older && last !== undefined ? <LifePage setId={setId} before={last.seq} shownDay={days.at(-1)?.day ?? null} /> : null}
      {more ? null : <p className="mt-4 text-soft">That is its beginning.</p>}
    </>
  );
}

function Act({ entry }: { entry: LifeEntry }) {
  const { site } = useWho();
  const { word, icon, sentence } = lifeWords(entry, site.units);
  return (
    <li className="grid grid-cols-[4rem_1fr] gap-x-4 border-b border-hairline py-2.5">
      <span className="text-soft">
        <Instant at={entry.at} timeZone={site.timeZone} short />
      </span>
      <div className="min-w-0">
        <p className="flex items-center gap-2 font-bold">
          <Icon name={icon} size={22} /> {word}
        </p>
        <p>{sentence}</p>
        <p className="text-soft">
          {entry.by ?? "nobody named"}
          {entry.device === null ? "" : `, at ${entry.device}`}
        </p>
      </div>
    </li>
  );
}

function byDay(entries: readonly LifeEntry[], timeZone: string): { day: string; acts: LifeEntry[] }[] {
  const days: { day: string; acts: LifeEntry[] }[] = [];
  for (const entry of entries) {
    const day = dayOf(Date.parse(entry.at), timeZone);
    const last = days.at(-1);
    if (last?.day === day) last.acts.push(entry);
    else days.push({ day, acts: [entry] });
  }
  return days;
}
