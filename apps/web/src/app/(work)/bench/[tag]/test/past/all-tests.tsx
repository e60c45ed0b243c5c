"use client";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { Button, ButtonLink } from "../../../../../../components/button.tsx";
import { Notice } from "../../../../../../components/notice.tsx";
import { PageHead } from "../../../../../../components/page-head.tsx";
import { Plate } from "../../../../../../components/plate.tsx";
import { PrintButton } from "../../../../../../components/print-button.tsx";
import { useHasRole, useWho } from "../../../../../../components/who.tsx";
import { instantText } from "../../../../../../format.ts";
import { useTRPC } from "../../../../../../trpc/client.ts";
import { errorWords } from "../../../../../../words.ts";
import { roundsOf } from "../compared.ts";
import { TestRound } from "../test-round.tsx";

/** Every bench test of a set, a page at a time, each round as found beside as left; made to be printed. */
export function AllTests({ tag }: { tag: string }) {
  const trpc = useTRPC();
  const { site } = useWho();
  const technician = useHasRole("technician");
  const mayLook = useHasRole("manager") || technician;
  /** Where each page so far began; the last is the one shown. */
  const [pages, setPages] = useState<readonly (number | null)[]>([null]);
  const past = useQuery(trpc.benchTests.past.queryOptions({ tag, before: pages.at(-1) ?? null }, { enabled: mayLook }));
  const tests = past.data?.tests ?? [];
  const oldest = tests.at(-1)?.seq;
  return (
    <>
      <PageHead
        title={
          <span className="flex flex-wrap items-center gap-4">
            Bench tests <Plate tag={tag} />
          </span>
        }
        lead="As found beside as left, each reading as it was judged on its day."
      >
        <ButtonLink href={`/bench/${tag}`}>{tag} at the bench</ButtonLink>
        {technician ? <ButtonLink href={`/bench/${tag}/test`}>Enter a test</ButtonLink> : null}
        <PrintButton />
      </PageHead>
      {!mayLook ? (
        <Notice kind="info" title="For the bench">
          <p>Bench tests are for technicians and managers.</p>
        </Notice>
      ) : past.error !== null ? (
        <Notice kind="stop" title="Could not be read" announce>
          <p>{errorWords(past.error)}</p>
        </Notice>
      ) : past.data === undefined ? (
        <p role="status">The tests are being read…</p>
      ) : tests.length === 0 ? (
        <p>No bench test is recorded of this set.</p>
      ) : (
        <div className="grid gap-10">
          {roundsOf(tests).map((round) => (
            <section key={round[0]!.id} aria-label={`Tests from ${instantText(round[0]!.testedAt, site.timeZone)}`}>
              <TestRound round={round} />
            </section>
          ))}
          {pages.length === 1 && !past.data.more ? null : (
            <nav aria-label="Pages of the bench tests" className="screen-only flex flex-wrap gap-4">
              <Button refusedBecause={pages.length === 1 ? "These are the newest." : null} onClick={() => setPages(pages.slice(0, -1))}>
                Later tests
              </Button>
              <Button refusedBecause={past.data.more && oldest !== undefined ? null : "There are no earlier ones."} onClick={() => setPages([...pages, oldest ?? null])}>
                Earlier tests
              </Button>
            </nav>
          )}
        </div>
      )}
    </>
  );
}
