"use client";
import type { BenchItem } from "@hangrail/rules/bench-test";
import { judgementWords, readingWords, testWords, wantedWords, type Verdict } from "../../../../../bench-test-words.ts";
import { useEntries } from "./test-context.ts";
import { VerdictMark } from "./verdict-mark.tsx";

type TestVerdictProps = { verdict: Verdict; items: readonly BenchItem[]; nameOf: (component: string) => string };

/** What the whole test comes to so far, what fails, and what is still wanted for a verdict. */
export function TestVerdict({ verdict, items, nameOf }: TestVerdictProps) {
  const { units } = useEntries();
  const failed = items.filter(({ judgement }) => judgement.verdict === "fail");
  const wanted = wantedWords(items, nameOf);
  return (
    <section aria-labelledby="whole" className="sheet grid gap-3">
      <h2 id="whole">The whole test</h2>
      <p role="status" className="flex flex-wrap items-center gap-3">
        <VerdictMark verdict={verdict} /> {testWords(verdict, items)}
      </p>
      {failed.length === 0 ? null : (
        <div>
          <p className="font-semibold">What fails:</p>
          <ul className="list-disc ps-6">
            {failed.map((item) => (
              <li key={`${item.component} ${item.name} ${item.reading ?? ""}`}>
                {nameOf(item.component)}, {readingWords(item.name, item.zone).toLowerCase()}. {judgementWords(item, units)}
              </li>
            ))}
          </ul>
        </div>
      )}
      {wanted.length === 0 ? null : (
        <div>
          <p className="font-semibold">Still wanted for a verdict:</p>
          <ul className="list-disc ps-6">
            {wanted.map((sentence, at) => (
              <li key={`${at} ${sentence}`}>{sentence}</li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}
