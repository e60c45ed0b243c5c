"use client";
import { useQuery } from "@tanstack/react-query";
import { Link } from "../../../components/link.tsx";
import { Plate } from "../../../components/plate.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { useHasRole, useWho } from "../../../components/who.tsx";
import { contextOf } from "../../../desk-words.ts";
import { countText, daysBetween } from "../../../format.ts";
import { countWords } from "../../../today-words.ts";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { errorWords } from "../../../words.ts";
import { outSince, reasonsOf } from "../sets/waiting.ts";
import { Matter } from "./part.tsx";
import type { Summary } from "./today.tsx";

const most = 5;
/** The states in which a set waits for somebody: neither ready, out nor in the wash. */
const OFF = ["tagged-out", "on-the-bench", "awaiting-parts", "to-release", "held", "evidence-lock"] as const;

/** Sets that cannot earn today: those that wait longest, and what holds each. */
export function OffService({ summary: { states, today } }: { summary: Summary }) {
  const trpc = useTRPC();
  const { site } = useWho();
  // Who does not answer for them reads the number alone; the list is one step away.
  const manager = useHasRole("manager");
  const found = useQuery({ ...trpc.sets.outOfService.queryOptions(), enabled: manager });
  const sealed = states["evidence-lock"] ?? 0;
  const total = OFF.reduce((sum, state) => sum + (states[state] ?? 0), 0);
  const longest = [...(found.data?.rows ?? [])].sort((a, b) => (outSince(a, site.timeZone) < outSince(b, site.timeZone) ? -1 : 1)).slice(0, most);
  return (
    <Matter title={countWords(total, "out of service")} pressing={total > 0}>
      {sealed === 0 ? null : <p>{countText(sealed, "set")} sealed as evidence.</p>}
      {!manager ? null : found.error !== null ? (
        <p>{errorWords(found.error)}</p>
      ) : found.data === undefined ? (
        <p role="status">Being read…</p>
      ) : longest.length === 0 ? null : (
        <ul aria-label="Those that wait longest" className="grid gap-3">
          {longest.map((row) => (
            <Waiting key={row.setId} row={row} today={today} />
          ))}
        </ul>
      )}
      {total === 0 ? null : (
        <p>
          <Link href="/sets/out-of-service" className="inline-flex min-h-12 items-center">
            {total > most ? `All ${total}, why each waits and who clears it` : "Why each waits and who clears it"}
          </Link>
        </p>
      )}
    </Matter>
  );
}

type Row = Outputs["sets"]["outOfService"]["rows"][number];

function Waiting({ row, today }: { row: Row; today: string }) {
  const { site } = useWho();
  const [first] = reasonsOf(row.holds, contextOf(row, site.units));
  const days = Math.max(0, daysBetween(outSince(row, site.timeZone), today));
  return (
    <li className="grid gap-x-4 gap-y-1 border-t border-hairline pt-2 sm:grid-cols-[7rem_1fr]">
      <Plate tag={row.tag} to={`/sets/${encodeURIComponent(row.tag)}`} />
      <span className="min-w-0 self-center">
        <StateMark state={row.state} /> {days === 0 ? "since today" : `for ${countText(days, "day")}`}
        {first === undefined ? null : <span className="block">{first.title}.</span>}
      </span>
    </li>
  );
}
