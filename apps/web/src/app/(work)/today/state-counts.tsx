"use client";
import { SET_STATES } from "@hangrail/rules/set-state";
import { Link } from "../../../components/link.tsx";
import { StateMark } from "../../../components/state-mark.tsx";
import { countText } from "../../../format.ts";
import type { Summary } from "./today.tsx";

const order = [...SET_STATES].reverse().filter((state) => state !== "retired");

/** How many sets stand where: a bar with its word and its number, the ready ones first. */
export function StateCounts({ states }: { states: Summary["states"] }) {
  const rows = order.map((state) => ({ state, sets: states[state] ?? 0 })).filter(({ state, sets }) => sets > 0 || state === "ready");
  const largest = Math.max(1, ...rows.map(({ sets }) => sets));
  const all = rows.reduce((sum, { sets }) => sum + sets, 0);
  return (
    <section aria-labelledby="states" className="sheet grid gap-4">
      <h2 id="states">The fleet now: {countText(all, "set")}</h2>
      <ul className="grid">
        {rows.map(({ state, sets }) => (
          <li key={state} className="grid grid-cols-[12rem_3rem_1fr] items-center gap-3 max-sm:grid-cols-[1fr_3rem]">
            <Link href={`/sets?state=${state}`} className="inline-flex min-h-12 items-center no-underline">
              <StateMark state={state} />
            </Link>
            <strong className="text-end text-xl tabular-nums">{sets}</strong>
            <span aria-hidden="true" className="block h-5 max-sm:col-span-2">
              <span className="block h-full rounded-sm border-2 border-edge bg-rest" style={{ width: `${(100 * sets) / largest}%` }} />
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
