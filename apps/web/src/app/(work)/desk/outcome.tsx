"use client";
import { lazy, Suspense, useEffect, useRef } from "react";
import { Button, ButtonLink } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useWho } from "../../../components/who.tsx";
import { backWords, deskRefusal, unansweredWords } from "../../../desk-words.ts";
import { dayText } from "../../../format.ts";
import type { HandedOutParty, HandOutAct } from "./hand-out.tsx";

export type StaleSets = Extract<HandOutAct["answer"], { answer: "stale" }>["sets"];

/** Should its script not come over a bad connection, the sentence that matters is there all the same. */
const StaleChanges = lazy(() =>
  import("./stale-changes.tsx").then(
    (found) => ({ default: found.StaleChanges }),
    () => ({ default: Changed }),
  ),
);

function Changed({ sets }: { sets: StaleSets }) {
  return sets.map((set) => <p key={set.setId}>Set {set.tag} changed while you looked.</p>);
}

/** What became of a hand-out that was not recorded; nothing while there is nothing to say. */
export function Outcome({ act, onStartAfresh }: { act: HandOutAct; onStartAfresh: () => void }) {
  const { site } = useWho();
  if (act.isPending) return null;
  if (act.error !== null) {
    const { title, sentence } = unansweredWords(act.error);
    return (
      <Notice kind="stop" title={title} announce>
        <p>{sentence}</p>
        <p className="mb-3">Everything you entered is still here. To try again is safe: the same hand-out is never recorded twice.</p>
        <Button onClick={act.again}>Try again</Button>
      </Notice>
    );
  }
  const { answer } = act;
  switch (answer?.answer) {
    case undefined:
    case "done":
      return null;
    case "hold":
      return (
        <Notice kind="stop" title="Nothing was handed out" announce>
          <p>One of the sets may not go. The reasons stand above.</p>
        </Notice>
      );
    case "stale":
      return (
        <Notice kind="warn" title="Nothing was handed out: look again" announce>
          <Suspense fallback={<Changed sets={answer.sets} />}>
            <StaleChanges sets={answer.sets} timeZone={site.timeZone} />
          </Suspense>
          <p>What stands above is judged afresh. If it is ready, hand out again.</p>
        </Notice>
      );
    case "refused":
      return (
        <Notice kind="stop" title="Nothing was handed out" announce>
          <p className={answer.code === "request-reused" ? "mb-3" : ""}>{deskRefusal(answer, site.timeZone)}</p>
          {answer.code === "request-reused" ? <Button onClick={onStartAfresh}>Start afresh</Button> : null}
        </Notice>
      );
  }
}

/** The sets are out. The way to the next hirer has the focus; a scan goes there by itself. */
export function HandedOut({ hire, hirer, tags, backOn, onNext }: HandedOutParty & { onNext: () => void }) {
  const { today } = useWho();
  const section = useRef<HTMLElement>(null);
  const next = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // The page still stands at the button that was pressed; what came of it is read from its top.
    section.current?.scrollIntoView({ block: "start" });
    next.current?.querySelector("button")?.focus({ preventScroll: true });
  }, []);
  return (
    <section ref={section} aria-labelledby="handed-out" className="sheet grid scroll-mt-4 gap-5">
      <div role="status" className="tinted flex flex-wrap items-center gap-x-6 gap-y-3 rounded-xl p-5" data-tone="ready">
        <Icon name="out" size={72} />
        <div>
          <h2 id="handed-out" className="text-4xl">
            Handed out
          </h2>
          <p className="text-xl">
            To {hirer}. {backWords(today, backOn)}, {dayText(backOn)}.
          </p>
        </div>
      </div>
      <p className="flex flex-wrap gap-4 text-xl">
        {tags.map((tag) => (
          <Plate key={tag} tag={tag} />
        ))}
      </p>
      <p>Do the pre-dive check together with the hirer; the slip lists it.</p>
      <div className="flex flex-wrap gap-4">
        <div ref={next} className="grid">
          <Button tone="primary" size="desk" onClick={onNext}>
            Next hirer
          </Button>
        </div>
        <ButtonLink href={`/desk/slip/${hire}`} size="desk">
          <Icon name="print" /> Slip
        </ButtonLink>
      </div>
    </section>
  );
}
