"use client";
import { ButtonLink } from "../../../../../components/button.tsx";
import { Icon } from "../../../../../components/icon.tsx";
import { Instant } from "../../../../../components/when.tsx";
import { useWho } from "../../../../../components/who.tsx";
import { verdictWords } from "../../../../../work-order-words.ts";
import type { OrderPage } from "./work-order.tsx";

type TestsProps = { page: OrderPage; mayTest: boolean };

/** What the set was like before anybody opened it: without this nobody learns what failed. */
export function AsFound({ page, mayTest }: TestsProps) {
  const tests = page.tests.filter(({ phase }) => phase === "as-found");
  return (
    <section className="grid gap-4" aria-labelledby="as-found">
      <h2 id="as-found">As found, before opening</h2>
      {tests.length === 0 ? <p>Not tested as found. Once it is opened, nobody can say any more what it was like.</p> : <Tests tests={tests} />}
      {mayTest && tests.length === 0 && page.work.length === 0 ? <TestLink page={page} phase="as-found" words="Test it as found" /> : null}
    </section>
  );
}

/** What it is like after the work. */
export function AsLeft({ page, mayTest }: TestsProps) {
  const tests = page.tests.filter(({ phase }) => phase === "as-left");
  const { openedSeq } = page.release;
  const spent = tests.length > 0 && openedSeq !== null && tests.every(({ seq }) => seq < openedSeq);
  return (
    <section className="grid gap-4" aria-labelledby="as-left">
      <h2 id="as-left">As left</h2>
      {tests.length === 0 ? <p>Not tested yet as left.</p> : <Tests tests={tests} />}
      {spent ? <p className="font-semibold">It was opened again since: test it anew.</p> : null}
      {mayTest ? <TestLink page={page} phase="as-left" words={tests.length === 0 ? "Test it as left" : "Test it again"} /> : null}
    </section>
  );
}

function TestLink({ page: { order, set }, phase, words }: { page: OrderPage; phase: "as-found" | "as-left"; words: string }) {
  return (
    <div>
      <ButtonLink href={`/bench/${set.tag}/test?order=${order.id}&phase=${phase}`}>{words}</ButtonLink>
    </div>
  );
}

function Tests({ tests }: { tests: OrderPage["tests"] }) {
  const { site } = useWho();
  return (
    <ul className="grid gap-3">
      {tests.map((test) => {
        const { word, icon, tone } = verdictWords(test.verdict);
        return (
          <li key={test.id} className="sheet grid gap-1">
            <p className="flex flex-wrap items-center gap-3">
              <span className="tinted inline-flex items-center gap-2 rounded-lg px-2.5 py-1 font-bold" data-tone={tone}>
                <Icon name={icon} size={22} /> {word}
              </span>
              <span className="text-soft">
                <Instant at={test.testedAt} timeZone={site.timeZone} /> by {test.testedBy}
              </span>
            </p>
            {test.words === "" ? null : <p>“{test.words}”</p>}
          </li>
        );
      })}
    </ul>
  );
}
