"use client";
import { useEffect, useRef } from "react";
import { WhyNot, type ActState } from "../../../../components/act-form.tsx";
import { Button } from "../../../../components/button.tsx";
import { useWho } from "../../../../components/who.tsx";
import { countText } from "../../../../format.ts";
import { limitsSentence, type Limits, type ModelRow } from "../limits-words.ts";

type ReviewLimitsProps = { model: ModelRow; limits: Limits; state: ActState; onAccept: () => void; onBack: () => void };

/** The second step: what was entered, read back in a sentence, with what follows from it. */
export function ReviewLimits({ model, limits, state, onAccept, onBack }: ReviewLimitsProps) {
  const { site, staff } = useWho();
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  return (
    <section aria-labelledby="review" className="sheet grid max-w-3xl gap-5">
      <h2 id="review" ref={heading} tabIndex={-1}>
        Is this what the manual says?
      </h2>
      <p className="text-xl">{limitsSentence(`${model.maker} ${model.name}`, model.kind, limits, site.units)}</p>
      <p>
        {model.sets === 1 ? "1 set of this site is" : `${countText(model.sets, "set")} of this site are`} judged by it at once, and every set of the other sites with this model. It goes into their record with your name, {staff.name}.
      </p>
      <WhyNot state={state} />
      <div className="flex flex-wrap gap-4">
        <Button onClick={onBack}>Change something</Button>
        <Button tone="primary" pending={state.isPending} pendingWords="Being recorded…" onClick={onAccept}>
          Accept these limits
        </Button>
      </div>
    </section>
  );
}
