"use client";
import { useEffect, useRef } from "react";
import { WhyNot, type ActState } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { useWho } from "../../../../components/who.tsx";
import type { BenchLimit } from "../bench-limit-form.ts";
import { benchLimitText, benchLimitWords } from "../bench-limit-words.ts";
import type { ModelRow } from "../limits-words.ts";

type ReviewBenchLimitsProps = { model: ModelRow; limits: readonly BenchLimit[]; state: ActState; onAccept: () => void; onBack: () => void };

/** What was entered, read back before it counts. */
export function ReviewBenchLimits({ model, limits, state, onAccept, onBack }: ReviewBenchLimitsProps) {
  const { site, staff } = useWho();
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  return (
    <div className="grid max-w-3xl gap-5">
      <h3 ref={heading} tabIndex={-1}>
        Is this what the manual of {model.maker} {model.name} says?
      </h3>
      <ul className="grid gap-3">
        {limits.map((limit) => (
          <li key={limit.name}>
            <span className="block text-lg">
              {benchLimitWords(limit.name)}: <strong>{benchLimitText(limit.name, limit, site.units)}</strong>
            </span>
            <span className="text-soft">{limit.page}</span>
          </li>
        ))}
      </ul>
      <p>Bench tests are judged by it from now on, at every site. It goes into the record with your name, {staff.name}.</p>
      <WhyNot state={state} />
      <div className="flex flex-wrap gap-4">
        <Button onClick={onBack}>Change something</Button>
        <Button tone="primary" pending={state.isPending} pendingWords="Being recorded…" onClick={onAccept}>
          Accept these bench limits
        </Button>
      </div>
    </div>
  );
}
