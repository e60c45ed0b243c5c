"use client";
import { Link } from "../../../components/link.tsx";
import { Plate } from "../../../components/plate.tsx";
import { countWords, dueReasons } from "../../../today-words.ts";
import { daysBetween } from "../../../format.ts";
import { OffService } from "./off-service.tsx";
import { Matter, Part } from "./part.tsx";
import type { Summary } from "./today.tsx";
import { Trouble } from "./trouble.tsx";

/** How far ahead a due day is worth the manager's eye. */
const soonDays = 60;
const most = 6;

export function ManagerPart({ summary }: { summary: Summary }) {
  const { due, today } = summary;
  const soon = due.filter((set) => set.due.state === "overdue" || (set.due.dueOn !== null && daysBetween(today, set.due.dueOn.value) <= soonDays));
  const overdue = soon.filter((set) => set.due.state === "overdue").length;
  return (
    <Part title="Fleet" icon="loop" to="/sets" toWords="All sets">
      <div className="grid items-start gap-x-10 gap-y-6 lg:grid-cols-2">
        <Matter title={soon.length === 0 ? "Nothing falls due by day in the next 60 days" : overdue > 0 ? `Falls due next; ${countWords(overdue, "overdue")}` : "Falls due next"} pressing={overdue > 0}>
          <ul className="grid gap-3">
            {soon.slice(0, most).map((set) => (
              <li key={set.setId} className="grid gap-x-4 border-t border-hairline pt-2 sm:grid-cols-[7rem_1fr]">
                <Plate tag={set.tag} to={`/sets/${set.tag}`} />
                <ul className="min-w-0 self-center">
                  {dueReasons(set, today).map((reason, at) => (
                    <li key={reason} className={at === 0 ? "font-semibold" : ""}>
                      {reason}
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ul>
          <p>
            <Link href="/sets?sort=dueOn" className="inline-flex min-h-12 items-center">
              Every set by its due day
            </Link>
          </p>
        </Matter>
        <OffService summary={summary} />
      </div>
      <Trouble today={today} />
    </Part>
  );
}
