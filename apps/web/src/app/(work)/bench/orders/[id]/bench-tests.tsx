"use client";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Link } from "../../../../../components/link.tsx";
import { Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { VerdictMark } from "../../[tag]/test/verdict-mark.tsx";
import type { OrderPage } from "./work-order.tsx";

type TestsProps = { page: OrderPage; mayTest: boolean };

/** What the set was like before anybody opened it: without this nobody learns what failed. */
export function AsFound({ page, mayTest }: TestsProps) {
  const tests = page.tests.filter(({ phase }) => phase === "as-found");
  return (
    <section className="grid gap-4" aria-labelledby="as-found">
      <h2 id="as-found">As found, before opening</h2>
      {tests.length === 0 ? <p>Not tested as found. Once it is opened, nobody can say any more what it was like.</p> : <Tests tests={tests} tag={page.set.tag} />}
      {mayTest && tests.length === 0 && page.work.length === 0 ? <TestLink page={page} words="Test it as found" /> : null}
    </section>
  );
}

/** What it is like after the work. */
export function AsLeft({ page, mayTest }: TestsProps) {
  const { openedSeq, tests: sinceRelease } = page.release;
  // Under the order, or after it: once it is closed no test can name it any more.
  const under = page.tests.filter(({ phase }) => phase === "as-left");
  const after = sinceRelease.filter(({ id, phase, testedAt }) => phase === "as-left" && isSince(testedAt, page.order.takenAt) && !under.some((one) => one.id === id));
  const tests = [...under, ...after];
  const spent = tests.length > 0 && openedSeq !== null && tests.every(({ seq }) => seq < openedSeq);
  return (
    <section className="grid gap-4" aria-labelledby="as-left">
      <h2 id="as-left">As left</h2>
      {tests.length === 0 ? <p>Not tested yet as left.</p> : <Tests tests={tests} tag={page.set.tag} />}
      {spent ? <p className="font-semibold">It was opened again since: test it anew.</p> : null}
      {mayTest ? <TestLink page={page} words={tests.length === 0 ? "Test it as left" : "Test it again"} /> : null}
    </section>
  );
}

function isSince(at: string, from: string | null): boolean {
  return from !== null && Date.parse(at) >= Date.parse(from);
}

function TestLink({ page: { order, set }, words }: { page: OrderPage; words: string }) {
  return (
    <div>
      <ButtonLink href={`/bench/${set.tag}/test?order=${order.id}`}>{words}</ButtonLink>
    </div>
  );
}

function Tests({ tests, tag }: { tests: OrderPage["release"]["tests"]; tag: string }) {
  const { site } = useWho();
  return (
    <>
      <ul className="grid gap-3">
        {tests.map((test) => (
          <li key={test.id} className="sheet grid gap-1">
            <p className="flex flex-wrap items-center gap-3">
              <VerdictMark verdict={test.verdict} />
              <span className="text-soft">
                <Instant at={test.testedAt} timeZone={site.timeZone} /> by {test.testedBy}
              </span>
            </p>
            {test.words === "" ? null : <p>“{test.words}”</p>}
          </li>
        ))}
      </ul>
      <div>
        <Link href={`/bench/${tag}/test/past`} className="inline-flex min-h-12 items-center">
          Every reading of {tag}
        </Link>
      </div>
    </>
  );
}
