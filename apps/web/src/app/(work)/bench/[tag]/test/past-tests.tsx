"use client";
import { useQuery } from "@tanstack/react-query";
import { Link } from "../../../../../components/link.tsx";
import { Notice } from "../../../../../components/notice.tsx";
import { useTRPC } from "../../../../../trpc/client.ts";
import { errorWords } from "../../../../../words.ts";
import { roundsOf } from "./compared.ts";
import { TestRound } from "./test-round.tsx";

/** The last round of tests of a set, as found beside as left. For technicians and managers. */
export function PastTests({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const past = useQuery(trpc.benchTests.past.queryOptions({ tag, before: null }));
  const rounds = roundsOf(past.data?.tests ?? []);
  const [newest] = rounds;
  return (
    <section aria-labelledby="past-tests" className="grid gap-4">
      <h2 id="past-tests">The last bench test</h2>
      {past.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(past.error)}</p>
        </Notice>
      ) : past.data === undefined ? (
        <p role="status">The tests so far are being read…</p>
      ) : newest === undefined ? (
        <p>No bench test is recorded of this set.</p>
      ) : (
        <>
          <TestRound round={newest} />
          <p>
            <Link href={`/bench/${tag}/test/past`} className="inline-flex min-h-12 items-center">
              All tests of {tag}, to print
            </Link>
          </p>
        </>
      )}
    </section>
  );
}
