/** What must hold whenever something died in the middle: said as sentences of what is wrong, none when all is well. */
import { verifyRecord } from "@hangrail/api/verify-record";
import type pg from "pg";
import { heldTwice, impossibleRecords, recordGaps } from "../races/rig.ts";
import type { KitRoom } from "../support/kit-room.ts";

/** The answer of an act as this file reads it. */
export interface Answered {
  readonly answer: string;
  readonly repeat?: true;
}

/** One act under one request id, and what became of it as far as the desk knows. */
export interface Attempt {
  readonly request: string;
  readonly act: string;
  /** At least so many entries tell of it once it is done. */
  readonly entries: number;
  readonly call: () => Promise<Answered>;
  /** Null: the desk was not answered. */
  answer: Answered | null;
}

/** What holds for the whole room, whatever happened to it. */
export async function whatIsWrong(room: KitRoom): Promise<string[]> {
  const { breaks, facts } = await verifyRecord(room.db, { site: null, key: null });
  return [
    ...breaks.map(({ of, seq, why }) => `the chain of ${of} breaks at ${seq}: ${why}`),
    ...facts.map(({ of, seq, fact, differs }) => `the ${fact} of ${of} at ${seq} is not what the record tells: ${differs.join(", ")}`),
    ...(await recordGaps(room.database.ownerPool)),
    ...(await heldTwice(room)).map((tag) => `${tag} is with two hirers at once`),
    ...(await impossibleRecords(room)).map((where) => `${where} went out though it was held`),
  ];
}

interface Kept {
  readonly request: string;
  readonly answer: Answered | null;
  readonly entries: number;
}

async function kept(owner: pg.Pool, requests: readonly string[]): Promise<ReadonlyMap<string, Kept>> {
  const { rows } = await owner.query<Kept>(
    `SELECT r AS request, c.answer, (SELECT count(*)::int FROM record_entry e WHERE e.request_id = r::uuid) AS entries
       FROM unnest($1::text[]) r LEFT JOIN command c ON c.request_id = r::uuid`,
    [requests],
  );
  return new Map(rows.map((row) => [row.request, row]));
}

/** Whether each of these is there as its desk was told, whole, or not at all where nobody was told. */
export async function whatWasLost(room: KitRoom, attempts: readonly Attempt[]): Promise<string[]> {
  const found = await kept(room.database.ownerPool, attempts.map(({ request }) => request));
  return attempts.flatMap(({ request, act, answer, entries }) => {
    const there = found.get(request)!;
    const wrong: string[] = [];
    if (answer?.answer === "done" && there.answer === null) wrong.push(`${act} was answered "done" and is lost`);
    if (answer?.answer === "done" && there.answer !== null && !same(answer, there.answer)) wrong.push(`${act} was answered ${JSON.stringify(answer)} and is kept as ${JSON.stringify(there.answer)}`);
    if (answer !== null && answer.answer !== "done" && there.answer !== null) wrong.push(`${act} was answered "${answer.answer}" and is done`);
    if (there.answer !== null && there.entries < entries) wrong.push(`${act} is there by half: ${there.entries} of ${entries} entries`);
    if (there.answer === null && there.entries > 0) wrong.push(`${act} is there by half: ${there.entries} entries and no answer`);
    return wrong;
  });
}

/** Asks once more, under the same request id, whatever was not answered; each must be answered now, and as it is kept. Answers how many, and how many of them had been done. */
export async function settle(room: KitRoom, attempts: readonly Attempt[]): Promise<{ readonly open: number; readonly hadBeenDone: number; readonly wrong: readonly string[] }> {
  const open = attempts.filter(({ answer }) => answer === null);
  const before = await kept(room.database.ownerPool, open.map(({ request }) => request));
  const wrong: string[] = [];
  let hadBeenDone = 0;
  for (const attempt of open) {
    const first = before.get(attempt.request)!.answer;
    attempt.answer = await attempt.call();
    if (first !== null) hadBeenDone += 1;
    if (first !== null && !same(attempt.answer, { ...first, repeat: true })) wrong.push(`${attempt.act} was kept as ${JSON.stringify(first)} and its repeat answers ${JSON.stringify(attempt.answer)}`);
    if (first === null && attempt.answer.repeat === true) wrong.push(`${attempt.act} was not there and its repeat says it was`);
  }
  return { open: open.length, hadBeenDone, wrong };
}

/** Equal as JSON, whatever the order of the names; a repeat says the same as the first. */
function same(one: Answered, other: Answered): boolean {
  const text = ({ repeat: _, ...rest }: Answered) => JSON.stringify(Object.entries(rest).sort(([a], [b]) => (a < b ? -1 : 1)));
  return text(one) === text(other);
}
