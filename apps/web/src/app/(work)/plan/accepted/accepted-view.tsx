"use client";
import { useQuery } from "@tanstack/react-query";
import { createColumnHelper } from "@tanstack/react-table";
import { usePathname, useSearchParams } from "next/navigation";
import { ButtonLink } from "../../../../components/button.tsx";
import { DataTable, type TableFeatures } from "../../../../components/data-table.tsx";
import { SelectField } from "../../../../components/field.tsx";
import { Link } from "../../../../components/link.tsx";
import { Plate } from "../../../../components/plate.tsx";
import { Instant } from "../../../../components/when.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText, listText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import { Counted } from "../../trends/counted.tsx";
import { actText, gapText } from "../plan-words.ts";
import { weekAndDay } from "../weeks.ts";
import type { AcceptedLine, AcceptedPlan } from "../plan-types.ts";

/** As far as a plan may reach: what was accepted is shown whole, whatever weeks are asked elsewhere. */
const WEEKS = 52;

export function AcceptedView() {
  const trpc = useTRPC();
  const outlook = useQuery(trpc.plan.outlook.queryOptions({ weeks: WEEKS }));
  return (
    <Counted query={outlook}>
      {({ accepted }) =>
        accepted === null ? (
          <p className="max-w-prose">
            No plan has been accepted yet. <Link href="/plan">Work one out</Link>, then accept it there.
          </p>
        ) : (
          <PlanOf plan={accepted} />
        )
      }
    </Counted>
  );
}

function PlanOf({ plan }: { plan: AcceptedPlan }) {
  const { site } = useWho();
  const path = usePathname();
  const asked = useSearchParams().get("week");
  const weeks = [...new Set(plan.lines.map(({ weekOn }) => weekOn))].sort();
  const chosen = weeks.find((week) => week === asked) ?? null;
  const rows = plan.lines.filter(({ weekOn }) => chosen === null || weekOn === chosen);
  return (
    <>
      <p className="mb-4 max-w-prose">
        Accepted by {plan.acceptedBy} on <Instant at={plan.acceptedAt} timeZone={site.timeZone} />: {countText(plan.lines.length, "set")} in {countText(weeks.length, "week")}. {gapText(plan.gap)}
        {plan.words === "" ? null : <> “{plan.words}”</>}
      </p>
      <div className="screen-only mb-6 flex flex-wrap gap-4">
        <ButtonLink href="/bench">To the bench</ButtonLink>
        <ButtonLink href="/plan/kits">Kits to order</ButtonLink>
        <ButtonLink href="/plan/calendar">In a calendar</ButtonLink>
      </div>
      <DataTable caption={chosen === null ? "Sets by week" : `Sets of ${weekAndDay(chosen)}`} columns={columns} rows={rows} rowKey={(row) => row.setId} empty="No set." wide>
        <div className="w-64">
          <SelectField label="Week" value={chosen ?? ""} onChange={(event) => window.history.replaceState(null, "", event.target.value === "" ? path : `${path}?week=${event.target.value}`)}>
            <option value="">every week</option>
            {weeks.map((week) => (
              <option key={week} value={week}>
                {weekAndDay(week)}
              </option>
            ))}
          </SelectField>
        </div>
      </DataTable>
      <p className="paper-only mt-4">Work only by a person authorised for the make, by the maker's manual.</p>
    </>
  );
}

const column = createColumnHelper<TableFeatures, AcceptedLine>();
const columns = column.columns([
  column.accessor("weekOn", { header: "Week", cell: ({ row }) => weekAndDay(row.original.weekOn) }),
  column.accessor("tag", { header: "Set", cell: ({ row }) => <Plate tag={row.original.tag} to={`/sets/${row.original.tag}`} /> }),
  column.accessor("work", { header: "Work" }),
  column.accessor((line) => line.order.state, { id: "state", header: "Work order", cell: ({ row: { original } }) => <Link href={`/bench/orders/${original.order.id}`} className="inline-flex min-h-12 min-w-12 items-center">{orderText(original.order.state)}</Link> }),
  column.accessor((line) => whyText(line), { id: "why", header: "Why then", enableSorting: false }),
  column.accessor((line) => changedText(line), { id: "since", header: "Since", enableSorting: false }),
]);

/** How far its work is. */
export function orderText(state: AcceptedLine["order"]["state"]): string {
  switch (state) {
    case "waiting":
      return "waits";
    case "taken":
      return "on the bench";
    case "parked":
      return "laid aside";
    case "done":
      return "done";
    case "dropped":
      return "given up";
  }
}

/** Why that week, in a word or two; the whole sentence belonged to the plan as it was then. */
export function whyText({ why, locked }: Pick<AcceptedLine, "why" | "locked">): string {
  if (locked) return "fixed by hand";
  switch (why) {
    case "locked":
      return "fixed by hand";
    case "not-due":
      return "in date";
    case "due-week":
      return "its due week";
    case "early":
      return "before its due week";
    case "late":
      return "after its due week";
    case "overdue":
      return "overdue";
    case "left":
      return "no week was found";
  }
}

/** What happened to a set since: in the acts' own words, and whether it is late now. */
export function changedText({ since, nowLate }: Pick<AcceptedLine, "since" | "nowLate">): string {
  const acts = since.length === 0 ? (nowLate ? "" : "nothing") : listText([...new Set(since.map(actText))]);
  return [nowLate ? "falls due before its week now" : "", acts].filter((part) => part !== "").join("; ");
}
