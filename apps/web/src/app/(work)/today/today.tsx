"use client";
import { useQuery } from "@tanstack/react-query";
import type { ReactNode } from "react";
import { Button } from "../../../components/button.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import type { Outputs } from "../../../trpc/types.ts";
import { errorWords, staffRoles, type StaffRole } from "../../../words.ts";
import { BenchPart } from "./bench-part.tsx";
import { CentreCare } from "./centre-care.tsx";
import { DeskPart } from "./desk-part.tsx";
import { ManagerPart } from "./manager-part.tsx";
import { StateCounts } from "./state-counts.tsx";
import { WashPart } from "./wash-part.tsx";

export type Summary = Outputs["today"]["summary"];

/** The first page: the parts of one's own roles, then how the whole fleet stands, then the others' parts. */
export function Today() {
  const trpc = useTRPC();
  const { staff } = useWho();
  const summary = useQuery(trpc.today.summary.queryOptions());
  if (summary.error !== null) {
    return (
      <Notice kind="stop" title="Today could not be read" announce>
        <p className="mb-3">{errorWords(summary.error)}</p>
        <Button onClick={() => void summary.refetch()}>Try again</Button>
      </Notice>
    );
  }
  if (summary.data === undefined) return <p role="status">Being read…</p>;
  const own = staffRoles.filter((role) => staff.roles.includes(role));
  const others = staffRoles.filter((role) => !own.includes(role));
  return (
    <div className="grid gap-8">
      {own.includes("manager") ? <CentreCare /> : null}
      <Parts roles={own} summary={summary.data} />
      <StateCounts states={summary.data.states} />
      {others.length === 0 ? null : (
        <section aria-labelledby="elsewhere" className="grid gap-4">
          <h2 id="elsewhere">Elsewhere in the kit room</h2>
          <Parts roles={others} summary={summary.data} />
        </section>
      )}
    </div>
  );
}

/** Side by side; the fleet below them, as wide as the page. */
function Parts({ roles, summary }: { roles: readonly StaffRole[]; summary: Summary }) {
  const beside = roles.filter((role) => role !== "manager");
  return (
    <div className="grid gap-6">
      {beside.length === 0 ? null : (
        <div className={`grid gap-6 ${beside.length === 1 ? "" : "lg:grid-cols-2"}`}>
          {beside.map((role) => (
            <div key={role} className="grid min-w-0 content-start">
              {partOf(role, summary)}
            </div>
          ))}
        </div>
      )}
      {roles.includes("manager") ? partOf("manager", summary) : null}
    </div>
  );
}

function partOf(role: StaffRole, summary: Summary): ReactNode {
  switch (role) {
    case "desk":
      return <DeskPart summary={summary} />;
    case "wash-room":
      return <WashPart summary={summary} />;
    case "technician":
      return <BenchPart summary={summary} />;
    case "manager":
      return <ManagerPart summary={summary} />;
  }
}
