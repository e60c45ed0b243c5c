/**
 * A search for a plan as a stream: how far it is, then the answer. Nothing is kept between requests, so
 * any web node can serve any screen; what is counted here is only what runs on this one.
 */
import { DEFAULT_RELIEF_PRICES } from "@hangrail/rules/plan-shortfall";
import { judgedPlan } from "./plan-judged.ts";
import type { PlanGround } from "./plan-problem-of.ts";
import type { SolveAnswer, SolveEvent } from "./plan-view.ts";
import { solvePlan, type FoundPlan, type PlanAnswer, type PlanProgress } from "./solver/plan.ts";

/** Each search keeps a processor busy; a kit room's server has few, and the desk is on it too. */
const MOST_SEARCHES = 2;
const searching = new Set<string>();

export interface Search {
  readonly seconds: number;
  readonly relativeGap: number;
  /** Ends when the screen goes away; what was found by then is the answer, if anybody still listens. */
  readonly signal: AbortSignal | undefined;
}

/** One search for one person. The place is taken before the facts are read, and given back however it ends. */
export async function* searchFor(person: string, ground: () => Promise<PlanGround>, { seconds, relativeGap, signal }: Search): AsyncGenerator<SolveEvent, void> {
  if (searching.has(person)) return yield { event: "refused", code: "solving-already" };
  if (searching.size >= MOST_SEARCHES) return yield { event: "refused", code: "too-many-solving" };
  searching.add(person);
  const left = new AbortController();
  const stop = (): void => left.abort();
  signal?.addEventListener("abort", stop, { once: true });
  if (signal?.aborted === true) stop();
  let solved: Promise<PlanAnswer> | null = null;
  try {
    const facts = await ground();
    const heard = new Newest<PlanProgress>();
    solved = solvePlan(facts.problem, { seconds, relativeGap, prices: DEFAULT_RELIEF_PRICES, signal: left.signal, onProgress: (progress) => heard.tell(progress) });
    // An error is the generator's to throw, below.
    solved.then(() => heard.end(), () => heard.end());
    for (let said = await heard.next(); said !== null; said = await heard.next()) yield { event: "progress", ...said };
    const answer = await solved;
    yield { event: "answer", seqs: Object.fromEntries(facts.planned.map(({ id, seq }) => [id, seq])), ...shown(facts, answer) };
  } finally {
    // Whoever stops listening stops the search; its place is free when its thread has ended.
    stop();
    signal?.removeEventListener("abort", stop);
    if (solved === null) searching.delete(person);
    else void solved.catch(() => undefined).finally(() => searching.delete(person));
  }
}

function shown(ground: PlanGround, answer: PlanAnswer): SolveAnswer {
  if (answer.answer === "plan") return { answer: "plan", found: found(ground, answer.found) };
  if (answer.answer === "short") return { ...answer, found: found(ground, answer.found) };
  return answer;
}

const found = (ground: PlanGround, { plan, check, bound, gap, by, end }: FoundPlan) => ({ ...judgedPlan(ground, plan, check), bound, gap, by, end });

/** The newest word, for one who listens now and then: what was not heard in time is passed over. */
class Newest<Word> {
  #word: Word | null = null;
  #ended = false;
  #wake = (): void => undefined;

  tell(word: Word): void {
    this.#word = word;
    this.#wake();
  }

  end(): void {
    this.#ended = true;
    this.#wake();
  }

  /** `null` = there will be no more. */
  async next(): Promise<Word | null> {
    while (this.#word === null && !this.#ended) await new Promise<void>((resolve) => (this.#wake = resolve));
    const word = this.#word;
    this.#word = null;
    return word;
  }
}
