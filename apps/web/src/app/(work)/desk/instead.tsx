"use client";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useEffectEvent, useRef } from "react";
import { Button } from "../../../components/button.tsx";
import { Plate } from "../../../components/plate.tsx";
import { useWho } from "../../../components/who.tsx";
import { countText, dayText, divesText } from "../../../format.ts";
import { useTRPC } from "../../../trpc/client.ts";
import { errorWords } from "../../../words.ts";
import type { Hire } from "./hire-details.ts";

/** A scanner's keys follow each other faster than this; a digit pressed by a person stands alone. */
const alone = 150;

type InsteadProps = { hire: Hire; party: readonly string[]; held: string; onChoose: (tag: string) => void };

/** Ready sets that suit this hire, to give in place of one that stays: by press or by number key. */
export function Instead({ hire, party, held, onChoose }: InsteadProps) {
  const trpc = useTRPC();
  const { today } = useWho();
  const instead = useQuery(trpc.desk.instead.queryOptions({ hire, except: [...party] }));
  const sets = instead.data?.sets ?? [];
  useNumberKeys(sets.length, (at) => {
    const set = sets[at];
    if (set !== undefined) onChoose(set.tag);
  });
  if (instead.error !== null) return <p>Which sets could go instead cannot be said now: {errorWords(instead.error)}</p>;
  if (instead.data === undefined) return <p role="status">Looking for sets that could go instead…</p>;
  if (sets.length === 0) return <p className="font-semibold">No other ready set suits this gas, cylinder, water and time.</p>;
  return (
    <div>
      <p className="mb-2 font-bold">Instead of {held}, these are ready and suit this hire. Press one, or its number.</p>
      <ol className="grid gap-4 sm:grid-cols-2">
        {sets.map((set, at) => (
          <li key={set.tag} className="grid">
            <Button size="desk" onClick={() => onChoose(set.tag)}>
              <span className="grid w-full grid-cols-[auto_1fr] items-center gap-x-4 text-start">
                <span className="row-span-2 text-2xl font-bold">
                  {at + 1}
                  <span className="sr-only">: give </span>
                </span>
                <span>
                  <Plate tag={set.tag} />
                </span>
                <span className="text-base font-normal">
                  {[set.dueOn === null ? null : `due ${dayText(set.dueOn)}`, set.divesLeft === null ? null : `${divesText(set.divesLeft)} left`].filter((part) => part !== null).join(", ") || `in date on ${dayText(today)}`}
                </span>
              </span>
            </Button>
          </li>
        ))}
      </ol>
      {(instead.data.suited ?? 0) > sets.length ? <p className="mt-2 text-soft">{countText(instead.data.suited, "set")} would suit; these should go first.</p> : null}
    </div>
  );
}

function useNumberKeys(count: number, choose: (at: number) => void) {
  const waiting = useRef<ReturnType<typeof setTimeout>>(undefined);
  const onKey = useEffectEvent((event: KeyboardEvent) => {
    clearTimeout(waiting.current);
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || isField(event.target) || document.querySelector("dialog[open]") !== null) return;
    const at = Number(event.key) - 1;
    if (event.key.length === 1 && Number.isInteger(at) && at >= 0 && at < count) waiting.current = setTimeout(() => choose(at), alone);
  });
  useEffect(() => {
    const listen = (event: KeyboardEvent) => onKey(event);
    // Before the scan field, which keeps the Enter of a scan to itself: that Enter says that the digit before it was no choice.
    window.addEventListener("keydown", listen, { capture: true });
    return () => {
      window.removeEventListener("keydown", listen, { capture: true });
      clearTimeout(waiting.current);
    };
  }, []);
}

function isField(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && (target.isContentEditable || ["INPUT", "TEXTAREA", "SELECT"].includes(target.tagName));
}
