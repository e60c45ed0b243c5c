"use client";
import { useQuery } from "@tanstack/react-query";
import { Notice } from "../../../../components/notice.tsx";
import { useHasRole } from "../../../../components/who.tsx";
import { countText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Outputs } from "../../../../trpc/types.ts";
import { errorWords } from "../../../../words.ts";
import { AnotherPair } from "./another-pair.tsx";
import { ApprovePair } from "./approve-pair.tsx";
import { WithdrawPair } from "./withdraw-pair.tsx";

export type Pair = Outputs["models"]["pairings"][number];

/** Pairs that sit in sets without an approval first; then the approved ones. */
export function Pairings() {
  const trpc = useTRPC();
  const technician = useHasRole("technician");
  const pairs = useQuery(trpc.models.pairings.queryOptions());
  if (pairs.error !== null) {
    return (
      <Notice kind="stop" title="Could not be read" announce>
        <p>{errorWords(pairs.error)}</p>
      </Notice>
    );
  }
  if (pairs.data === undefined) return <p role="status">Being read…</p>;
  const open = pairs.data.filter((pair) => pair.manualPage === null);
  const approved = pairs.data.filter((pair) => pair.manualPage !== null);
  return (
    <div className="grid gap-8">
      <section aria-labelledby="open-pairs" className="grid gap-4">
        <h2 id="open-pairs">In use, not approved</h2>
        {open.length === 0 ? <p>Every pair in use is approved.</p> : null}
        {open.length > 0 && !technician ? <p className="text-soft">A technician approves them from the maker&apos;s manual.</p> : null}
        <ul className="grid gap-4 lg:grid-cols-2">
          {open.map((pair) => (
            <li key={`${pair.first} ${pair.second}`} className="sheet grid gap-3">
              <PairName pair={pair} />
              <p>{pair.sets === 1 ? "1 set waits for this." : `${countText(pair.sets, "set")} wait for this.`}</p>
              {technician ? <ApprovePair pair={pair} /> : null}
            </li>
          ))}
        </ul>
      </section>
      <section aria-labelledby="approved-pairs" className="grid gap-4">
        <h2 id="approved-pairs">Approved</h2>
        {approved.length === 0 ? <p>No pair is approved yet.</p> : null}
        <ul className="grid gap-4 lg:grid-cols-2">
          {approved.map((pair) => (
            <li key={`${pair.first} ${pair.second}`} className="sheet grid gap-3">
              <PairName pair={pair} />
              <p className="text-soft">
                {pair.manualPage}; in {countText(pair.sets, "set")} here
              </p>
              {technician ? <WithdrawPair pair={pair} /> : null}
            </li>
          ))}
        </ul>
      </section>
      {technician ? <AnotherPair /> : null}
    </div>
  );
}

function PairName({ pair }: { pair: Pair }) {
  return (
    <h3>
      {pair.secondName} <span className="font-normal">on</span> {pair.firstName}
    </h3>
  );
}
