"use client";
import type { FoundView, JudgedPlan, PriceAnswer, SolveEvent } from "@hangrail/api/plan-view";
import { useMutation } from "@tanstack/react-query";
import { useSearchParams } from "next/navigation";
import { useCallback, useEffect, useEffectEvent, useMemo, useRef, useState } from "react";
import { useWho } from "../../../components/who.tsx";
import { useTRPC } from "../../../trpc/client.ts";
import { addressOf, AS_IT_IS, readChoices, type Choices, type Lock, type WhatIf } from "./plan-address.ts";
import type { Progress } from "./plan-words.ts";
import { keepFixed, keepPlan, keptFixed, keptPlan, type KeptPlan } from "./plan-memory.ts";
import type { Outlook } from "./plan-types.ts";

type Answer = Extract<SolveEvent, { event: "answer" }>;
export type Relief = Extract<Answer, { answer: "short" }>["relief"];
type Line = { readonly setId: string; readonly week: number | null };

/** A plan in work: as found, or moved by hand since. */
export interface Work {
  readonly plan: JudgedPlan;
  /** The sequence each set had when it was planned. */
  readonly seqs: Readonly<Record<string, number>>;
  /** Null once it was moved by hand: nothing is proven of it then. */
  readonly proof: Pick<FoundView, "bound" | "gap"> | null;
  /** Of a plan that leaves bookings without a set. */
  readonly relief: Relief;
  readonly leastShort: boolean;
}

/** What came of a search that brought no plan. */
export type NoPlan = Extract<Answer, { answer: "locks-conflict" | "no-problem" }>;

export interface Moved {
  readonly setId: string;
  readonly answer: Extract<PriceAnswer, { answer: "priced" }>;
}

export type Search = {
  readonly why: "plan" | "what-if";
  readonly progress: Progress | null;
};

const SECONDS = 20;
/** A drag over twenty weeks asks once, not twenty times. */
const ASK_AFTER_MS = 150;

export function usePlan(outlook: Outlook) {
  const trpc = useTRPC();
  const { site } = useWho();
  const params = useSearchParams();
  const [keptLocks, setKeptLocks] = useState<string | null>(null);
  const choices = useMemo(() => readChoices(new URLSearchParams(params), outlook, keptLocks), [params, outlook, keptLocks]);
  const fromOn = outlook.weeks[0] ?? "";

  const [work, setWork] = useState<Work | null>(null);
  const [noPlan, setNoPlan] = useState<NoPlan | null>(null);
  const [other, setOther] = useState<{ readonly whatIf: WhatIf; readonly answer: Answer } | null>(null);
  const [search, setSearch] = useState<Search | null>(null);
  const [failed, setFailed] = useState<unknown>(null);
  const [refused, setRefused] = useState<"solving-already" | "too-many-solving" | null>(null);
  const stopper = useRef<AbortController | null>(null);
  useEffect(() => () => stopper.current?.abort(), []);

  // Where sets stand on the screen: ahead of `work` while a move is being priced.
  const [lines, setLines] = useState<readonly Line[]>([]);
  const [moved, setMoved] = useState<Moved | null>(null);
  const price = useMutation(trpc.plan.price.mutationOptions());

  const settings = { weeks: choices.weeks, dueBy: choices.dueBy, locks: [...choices.locks], whatIf: AS_IT_IS };

  const take = (next: Work | null) => {
    setWork(next);
    setLines(next === null ? [] : fitted(next.plan.lines, outlook));
    setMoved(null);
    keepPlan(next === null ? null : toKeep(next));
  };
  const toKeep = ({ plan, seqs, proof }: Work): KeptPlan => ({
    site: site.id,
    fromOn,
    weeks: choices.weeks,
    dueBy: choices.dueBy,
    lines: plan.lines.map(({ setId, week }) => ({ setId, week })),
    seqs: { ...seqs },
    proof: proof === null ? null : { bound: proof.bound, gap: proof.gap },
  });

  /** After a reload, the plan this tab was at work on is judged anew and shown again. */
  const remember = useEffectEvent(async () => {
    setKeptLocks(keptFixed());
    const kept = keptPlan(site.id, fromOn, choices.weeks, choices.dueBy);
    if (kept === null) return;
    const answer = await price.mutateAsync({ ...settings, lines: [...fitted(kept.lines, outlook)], before: null }).catch(() => null);
    if (answer?.answer === "priced") take({ plan: answer.plan, seqs: kept.seqs, proof: kept.proof, relief: null, leastShort: false });
  });
  useEffect(() => {
    void remember();
  }, []);

  const choose = useCallback(
    (next: Partial<Choices>) => {
      const { address, kept } = addressOf({ ...choices, ...next }, outlook);
      keepFixed(kept);
      setKeptLocks(kept);
      window.history.replaceState(null, "", address);
    },
    [choices, outlook],
  );

  const ask = async (why: Search["why"], whatIf: WhatIf, done: (answer: Answer) => void) => {
    stopper.current?.abort();
    const stop = new AbortController();
    stopper.current = stop;
    setSearch({ why, progress: null });
    setFailed(null);
    setRefused(null);
    try {
      const { solveStream } = await import("./solve-stream.ts");
      await solveStream({ ...settings, whatIf, seconds: SECONDS }, stop.signal, (event) => {
        if (stop.signal.aborted) return;
        if (event.event === "progress") setSearch({ why, progress: event });
        else if (event.event === "refused") setRefused(event.code);
        else done(event);
      });
    } catch (error) {
      if (!stop.signal.aborted) setFailed(error);
    } finally {
      if (stopper.current === stop) setSearch(null);
    }
  };

  const solve = () =>
    ask("plan", AS_IT_IS, (answer) => {
      setNoPlan(answer.answer === "locks-conflict" || answer.answer === "no-problem" ? answer : null);
      if (answer.answer === "plan") take({ plan: answer.found, seqs: answer.seqs, proof: answer.found, relief: null, leastShort: false });
      if (answer.answer === "short") take({ plan: answer.found, seqs: answer.seqs, proof: answer.found, relief: answer.relief, leastShort: answer.leastShort });
    });

  const tryOther = (whatIf: WhatIf) => {
    choose({ whatIf });
    setOther(null);
    return ask("what-if", whatIf, (answer) => setOther({ whatIf, answer }));
  };

  /** Judges lines beside the plan as it stands, by the facts as they are. */
  const newest = useRef(0);
  const judge = async (next: readonly Line[], setId: string | null, seqs: Work["seqs"]): Promise<void> => {
    const turn = ++newest.current;
    const before = work === null ? null : [...fitted(work.plan.lines, outlook)];
    const answer = await price.mutateAsync({ ...settings, lines: [...next], before }).catch(() => null);
    // A later move has overtaken this one, or the answer is that there is none; the sentence for that stands beside.
    if (turn !== newest.current || answer?.answer !== "priced") return;
    const now: Work = { plan: answer.plan, seqs, proof: null, relief: null, leastShort: false };
    setWork(now);
    setLines(fitted(answer.plan.lines, outlook));
    setMoved(setId === null ? null : { setId, answer });
    keepPlan(toKeep(now));
  };
  const waiting = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(waiting.current), []);

  const move = (setId: string, week: number | null) => {
    if (work === null) return;
    const next = lines.map((line) => (line.setId === setId ? { setId, week } : line));
    setLines(next);
    // A fixed set that is moved is fixed where it goes.
    if (choices.locks.some((lock) => lock.setId === setId)) choose({ locks: choices.locks.map((lock) => (lock.setId === setId ? { setId, week } : lock)) });
    clearTimeout(waiting.current);
    waiting.current = setTimeout(() => void judge(next, setId, work.seqs), ASK_AFTER_MS);
  };

  const fix = (setId: string, fixed: boolean) => {
    const rest: readonly Lock[] = choices.locks.filter((lock) => lock.setId !== setId);
    choose({ locks: fixed ? [...rest, { setId, week: lines.find((line) => line.setId === setId)?.week ?? null }] : rest });
  };

  return {
    choices,
    choose,
    work,
    noPlan,
    other,
    search,
    failed,
    refused,
    lines,
    moved,
    pricing: price,
    solve: () => void solve(),
    stop: () => {
      stopper.current?.abort();
      setSearch(null);
    },
    move,
    fix,
    tryOther: (whatIf: WhatIf) => void tryOther(whatIf),
    /** The other plan becomes the one in work, judged by things as they are. */
    takeOther: () => {
      if (other?.answer.answer !== "plan" && other?.answer.answer !== "short") return;
      const { seqs, found } = other.answer;
      setOther(null);
      choose({ whatIf: AS_IT_IS });
      void judge(fitted(found.lines, outlook), null, seqs);
    },
    dropOther: () => {
      setOther(null);
      choose({ whatIf: AS_IT_IS });
    },
    /** After sets changed: the same weeks, judged by what is true now. */
    lookAgain: (now: Outlook) => judge(fitted(lines, now), null, Object.fromEntries(now.sets.map(({ id, seq }) => [id, seq]))),
    /** Once accepted it is no longer work in hand: a reload begins anew. */
    putAway: () => keepPlan(null),
  };
}

export type PlanInWork = ReturnType<typeof usePlan>;

/** One line for each set there is now: a set that is gone has none, a new one is in no week. */
function fitted(lines: readonly Line[], { sets, weeks }: Pick<Outlook, "sets" | "weeks">): Line[] {
  const weekOf = new Map(lines.map(({ setId, week }) => [setId, week]));
  return sets.map(({ id }) => {
    const week = weekOf.get(id) ?? null;
    return { setId: id, week: week !== null && week < weeks.length ? week : null };
  });
}
