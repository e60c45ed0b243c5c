"use client";
import { Button } from "../../../../components/button.tsx";
import { Icon } from "../../../../components/icon.tsx";
import { Plate } from "../../../../components/plate.tsx";
import type { Verdict } from "./verdicts.ts";

type ScannedSetProps = { tag: string; verdict: Verdict | null; onDrop: () => void };

/** A set in the list, with its verdict as word, shape and tone. */
export function ScannedSet({ tag, verdict, onDrop }: ScannedSetProps) {
  const tone = verdict === null ? "rest" : verdict.may ? "ready" : verdict.refused ? "stop" : "rest";
  return (
    <li className="tinted flex flex-wrap items-center gap-x-4 gap-y-2 rounded-xl p-4" data-tone={tone}>
      <span className="text-xl">
        <Plate tag={tag} />
      </span>
      <span className="flex min-w-0 flex-1 basis-40 items-center gap-2 font-semibold">
        <Icon name={tone === "ready" ? "tick" : tone === "stop" ? "octagon" : "clock"} size={32} />
        <span className="min-w-0">{verdict === null ? "Choose the bath first." : verdict.may ? "Goes in" : verdict.words}</span>
      </span>
      <Button onClick={onDrop} aria-label={`Take ${tag} off the list`}>
        Off the list
      </Button>
    </li>
  );
}
