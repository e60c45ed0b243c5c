/** Who may record a service or a release: a technician authorised for the maker, on that day. */
import type { Day } from "./calendar.ts";

/** One maker's word that a technician may work on its models; both days are included. */
export interface Authorisation {
  readonly maker: string;
  readonly from: Day;
  /** `null` = until withdrawn. */
  readonly until: Day | null;
}

/** Whether one of the authorisations covers a maker on a day. */
export function isAuthorised(authorisations: readonly Authorisation[], maker: string, on: Day): boolean {
  return authorisations.some(
    (one) => one.maker === maker && one.from <= on && (one.until === null || on <= one.until),
  );
}

/** The makers among these that none of the authorisations covers on a day, each once, in the order given. */
export function makersNotCovered(
  authorisations: readonly Authorisation[],
  makers: readonly string[],
  on: Day,
): readonly string[] {
  return [...new Set(makers)].filter((maker) => !isAuthorised(authorisations, maker, on));
}
