"use client";
import { useMutation } from "@tanstack/react-query";
import { useEffect, useRef, useState } from "react";
import { Button, ButtonLink } from "../../../../components/button.tsx";
import { Choices } from "../../../../components/field.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { tidyTag } from "../../../../components/scan-buffer.ts";
import { ScanField } from "../../../../components/scan-field.tsx";
import { useAfterAct } from "../../../../components/use-after-act.ts";
import { useRequestId } from "../../../../components/use-request-id.ts";
import { useWho } from "../../../../components/who.tsx";
import { countText, instantText, numberText, timeText } from "../../../../format.ts";
import { useTRPC } from "../../../../trpc/client.ts";
import type { Queue } from "../queue.ts";
import { WhyNotWashed } from "../why-not-washed.tsx";
import { ScannedSet } from "./scanned-set.tsx";
import { useVerdicts } from "./verdicts.ts";
import { WaitingPlates } from "./waiting-plates.tsx";

type LoadingProps = { queue: Queue; begin: readonly string[]; most: number };

/** The sets for one bath, one scan after the other, and Start, well away from where the scans land. */
export function Loading({ queue, begin, most }: LoadingProps) {
  const { site } = useWho();
  const good = queue.baths.filter((bath) => !bath.expired);
  const [bathId, setBathId] = useState(good.length === 1 ? (good[0]?.id ?? null) : null);
  const [tags, setTags] = useState<readonly string[]>(begin);
  const [heard, setHeard] = useState<{ words: string; refused: boolean } | null>(null);
  const [started, setStarted] = useState<string | null>(null);
  const startedBox = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (started !== null) startedBox.current?.focus();
  }, [started]);
  const bath = good.find((one) => one.id === bathId) ?? null;
  const verdicts = useVerdicts(bath?.id ?? null, tags);
  const stopped = tags.filter((tag) => verdicts.get(tag)?.may !== true);

  const chooseBath = (id: string, label: string) => {
    setBathId(id);
    setHeard({ words: `Bath: ${label}.`, refused: false });
  };
  const take = (tag: string) => {
    setStarted(null);
    const labelled = queue.baths.find((one) => tidyTag(one.label) === tag);
    if (labelled?.expired === true) setHeard({ words: `${labelled.label} has expired. Choose another bath, or mix one.`, refused: true });
    else if (labelled !== undefined) chooseBath(labelled.id, labelled.label);
    else if (tags.includes(tag)) setHeard({ words: `${tag} is in the list already.`, refused: false });
    else if (tags.length >= most) setHeard({ words: `One wash takes ${most} sets at most. Start this one first.`, refused: true });
    else {
      setHeard(bath === null ? { words: `${tag} is noted. Choose the bath, or scan its label.`, refused: false } : null);
      setTags([tag, ...tags]);
    }
  };
  const dropTags = (gone: readonly string[]) => setTags(tags.filter((tag) => !gone.includes(tag)));

  const start = useStart((wetUntil) => {
    setStarted(`${countText(tags.length, "set")} in ${bath?.label ?? "the bath"} until ${timeText(wetUntil, site.timeZone)}.`);
    setTags([]);
    setHeard(null);
  });
  const newest = tags[0];
  const newestSays = heard ?? (newest === undefined ? null : (verdicts.get(newest) ?? null));

  return (
    <div className="grid items-start gap-8 xl:grid-cols-[3fr_2fr]">
      <div className="grid gap-6">
        <div ref={startedBox} tabIndex={-1} className="grid gap-4">
          {started === null ? null : (
            <>
              <Notice kind="ok" title="In the bath" announce>
                <p className="text-xl">{started}</p>
              </Notice>
              <ButtonLink href="/wash-room" size="wash" tone="primary">
                To the wash room
              </ButtonLink>
            </>
          )}
        </div>
        <Choices
          label="Which bath?"
          name="bath"
          size="wash"
          value={bathId}
          choices={good.map((one) => ({
            value: one.id,
            label: (
              <>
                {one.label} <span className="block font-normal">{one.product}, {numberText(one.ppm)} ppm, good until {instantText(one.expiresAt, site.timeZone)}</span>
              </>
            ),
          }))}
          onChoose={(id) => chooseBath(id, good.find((one) => one.id === id)?.label ?? "")}
        />
        <ScanField size="desk" label="Scan each set, or the bath's label" onScan={take} heard={newestSays?.words ?? null} refused={newestSays?.refused ?? false} />
        <section aria-labelledby="going-in" className="grid gap-4">
          <h2 id="going-in">Going in: {countText(tags.length, "set")}</h2>
          {tags.length === 0 ? <p>Scan the first set, or press its tag in the list of those that wait.</p> : null}
          <ul className="grid gap-4">
            {tags.map((tag) => (
              <ScannedSet key={tag} tag={tag} verdict={verdicts.get(tag) ?? null} onDrop={() => dropTags([tag])} />
            ))}
          </ul>
          {stopped.length < 2 || bath === null ? null : <Button onClick={() => dropTags(stopped)}>Take the {stopped.length} that cannot go in off the list</Button>}
        </section>
      </div>
      <div className="grid gap-6">
        <WhyNotWashed state={start.state} />
        <Button size="wash" tone="primary" className="w-full" pending={start.state.isPending} pendingWords="Being recorded…" refusedBecause={whyNotYet(tags, stopped, bath !== null)} onClick={() => bath !== null && start.go(bath.id, tags)}>
          <Icon name="bath" size={36} /> Start: {countText(tags.length, "set")}
          {bath === null ? "" : ` in ${bath.label}, ${bath.wetMinutes} min`}
        </Button>
        <p className="text-soft" aria-live="polite">
          {whyNotYet(tags, stopped, bath !== null)}
        </p>
        <WaitingPlates waiting={queue.toClean.filter((set) => !tags.includes(set.tag))} onTake={take} />
      </div>
    </div>
  );
}

function whyNotYet(tags: readonly string[], stopped: readonly string[], hasBath: boolean): string | null {
  if (!hasBath) return "Choose the bath first.";
  if (tags.length === 0) return "Scan at least one set first.";
  return stopped.length === 0 ? null : `All or none: take ${stopped.length === 1 ? stopped[0] : `${stopped.length} sets`} off the list first.`;
}

function useStart(onStarted: (wetUntil: string) => void) {
  const trpc = useTRPC();
  const afterAct = useAfterAct();
  const { requestId, renew } = useRequestId();
  const state = useMutation(
    trpc.washRoom.startRun.mutationOptions({
      onSuccess: (answer) =>
        afterAct(answer, () => {
          renew();
          if (answer.answer === "done") onStarted(answer.wetUntil);
        }),
    }),
  );
  return { state, go: (bathId: string, tags: readonly string[]) => state.mutate({ requestId, bathId, tags: [...tags] }) };
}
