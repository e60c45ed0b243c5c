"use client";
import { useQuery } from "@tanstack/react-query";
import { AssemblyReasons } from "../../../../components/assembly-reasons.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { useTRPC } from "../../../../trpc/client.ts";
import { errorWords } from "../../../../words.ts";

/** How the set goes together: ports, threads, pairings and places. What is not recorded is not judged, never "fits". */
export function AssemblyCard({ setId }: { setId: string }) {
  const trpc = useTRPC();
  const found = useQuery(trpc.assembly.judge.queryOptions({ setId, swap: null }));
  return (
    <section aria-labelledby="assembly" className="grid gap-3">
      <h2 id="assembly">How it goes together</h2>
      {found.error !== null ? (
        <p role="alert">{errorWords(found.error)}</p>
      ) : found.data === undefined ? (
        <p role="status">Being read…</p>
      ) : (
        <>
          <p className="flex gap-2 font-semibold">
            {found.data.verdict === "fits" ? (
              <>
                <Icon name="tick" /> It fits: a port of the right thread for each part, and every pair approved.
              </>
            ) : found.data.verdict === "refused" ? (
              <>
                <Icon name="octagon" /> It does not go together.
              </>
            ) : (
              <>
                <Icon name="triangle" /> Not judged: something about its parts is not recorded.
              </>
            )}
          </p>
          {found.data.ports === null ? null : <p>{portsText(found.data.ports)}</p>}
          <AssemblyReasons assembly={found.data} />
        </>
      )}
    </section>
  );
}

function portsText({ hp, lp, lpHalfInch }: { hp: number | null; lp: number | null; lpHalfInch: number | null }): string {
  const count = (ports: number | null) => (ports === null ? "not recorded" : String(ports));
  return `Ports of the first stage: high pressure 7/16 inch ${count(hp)}, low pressure 3/8 inch ${count(lp)}, low pressure 1/2 inch ${count(lpHalfInch)}.`;
}
