/** What still stands against a release by a person, for one set or for many, by the rules. */
import type { Database } from "@hangrail/db/database";
import { readClock } from "@hangrail/db/sessions";
import { loadSetsById, type LoadedSet } from "@hangrail/db/set-facts";
import { readAuthorisations, readReleaseBasis, type ReleaseBasis } from "@hangrail/db/work-orders";
import { day } from "@hangrail/rules/calendar";
import { mayRelease, type ReleaseFacts, type ReleaseLack } from "@hangrail/rules/release";

export interface ReleaseCheck {
  readonly setId: string;
  readonly tag: string;
  /** It is released already, and nothing has ended that. */
  readonly released: boolean;
  readonly lacks: readonly ReleaseLack[];
  readonly tests: ReleaseBasis["tests"];
  /** The sequence number of the last opening, refit or service; tests before it say nothing any more. */
  readonly openedSeq: number | null;
}

/** Asks for each of these sets of a site; a set that is not there is not in the answer. */
export async function checkRelease(db: Database, site: { readonly id: string; readonly timeZone: string }, staff: string, sets: readonly string[]): Promise<readonly ReleaseCheck[]> {
  const [loaded, bases, authorisations, clock] = await Promise.all([
    loadSetsById(db, site.id, sets),
    readReleaseBasis(db, site.id, sets),
    readAuthorisations(db, staff),
    readClock(db, site.timeZone),
  ]);
  return loaded.flatMap((set) => {
    const basis = bases.find(({ setId }) => setId === set.id);
    if (basis === undefined) return [];
    const lacks = mayRelease(factsOf(set, basis), { staff, authorisations }, basis, day(clock.today));
    return [{ setId: set.id, tag: set.tag, released: basis.released, lacks, tests: basis.tests, openedSeq: basis.openedSeq }];
  });
}

function factsOf(set: LoadedSet, { tests, openedSeq, workedBy, orders, faults }: ReleaseBasis): ReleaseFacts {
  return {
    evidenceLock: set.facts.evidenceLock,
    retired: set.facts.retired,
    out: set.facts.out,
    orders,
    openFaults: faults,
    tests,
    openedSeq,
    workedBy,
    parts: set.components,
  };
}
