/** What a site decides for itself. Everything else comes from the makers' manuals. */
import type { Decimetres, Dives, Minutes, O2Tenths } from "./measures.ts";

export interface Policy {
  /** A set used for teaching is serviced at least this often, months. It only ever shortens a maker's limit. */
  readonly teachingMonths: number;
  /** A set unused for longer than this is inspected before it goes out, months. */
  readonly shelfMonths: number;
  /** The bedding check is asked for after so many dives since a service ... */
  readonly beddingDives: Dives;
  /** ... or so many days, whichever comes first. */
  readonly beddingDays: number;
  /** More oxygen than this is nitrox, tenths of a percent. */
  readonly nitroxAboveTenths: O2Tenths;
  /** Whether nitrox asks for an M26 connection. */
  readonly nitroxNeedsM26: boolean;
  /** Minutes counted for a dive whose length nobody wrote down. */
  readonly minutesPerDive: Minutes;
  /** A washed set hangs at least this long before it counts as dry, minutes; 0 = the eye decides. */
  readonly dryingMinutes: Minutes;
  /** "Service soon" is said this many days before the due day ... */
  readonly serviceSoonDays: number;
  /** ... or with this many dives left. */
  readonly serviceSoonDives: Dives;
  /** Deeper than this the two-diver caution is given, tenths of a metre. */
  readonly twoDiverDepthDecimetres: Decimetres;
}

export const DEFAULT_POLICY: Policy = {
  teachingMonths: 6, // common practice
  shelfMonths: 12, // common practice: seals age in the cupboard too
  beddingDives: 10, // common practice: a new seat settles in its first dives
  beddingDays: 30, // common practice
  nitroxAboveTenths: 220, // EN 144-3:2003, EN 13949: above 22 % oxygen
  nitroxNeedsM26: true, // EN 144-3:2003, in force in Europe since 2008; other places switch it off
  minutesPerDive: 60, // common practice: a hundred dives are reckoned as a hundred hours
  dryingMinutes: 120, // common practice: two to four hours of moving air
  serviceSoonDays: 30, // common practice
  serviceSoonDives: 10, // common practice
  twoDiverDepthDecimetres: 300, // EN 250:2014: first stages marked A are tested with two divers to 30 m only
};

type NumberField = { [F in keyof Policy]: Policy[F] extends number ? F : never }[keyof Policy];

/** The range within which each figure makes sense. 0 months would ground every set, 1 200 none. */
const RANGES: Readonly<Record<NumberField, readonly [least: number, most: number]>> = {
  teachingMonths: [1, 60],
  shelfMonths: [1, 60],
  beddingDives: [1, 1000],
  beddingDays: [1, 366],
  nitroxAboveTenths: [210, 400], // air is never nitrox; above 40 % oxygen service is needed: 29 CFR 1910.430(i)
  minutesPerDive: [1, 600],
  dryingMinutes: [0, 2880],
  serviceSoonDays: [0, 366],
  serviceSoonDives: [0, 1000],
  twoDiverDepthDecimetres: [0, 300],
};

/** A figure that makes no sense, with what would. */
export interface PolicyProblem {
  readonly field: keyof Policy;
  readonly least: number;
  readonly most: number;
}

/** Every figure of a policy that makes no sense; an empty list means the policy may be used. */
export function judgePolicy(policy: Policy): readonly PolicyProblem[] {
  const problems: PolicyProblem[] = [];
  for (const field of Object.keys(RANGES) as NumberField[]) {
    const [least, most] = RANGES[field];
    const value = policy[field];
    if (!(Number.isSafeInteger(value) && value >= least && value <= most)) problems.push({ field, least, most });
  }
  return problems;
}
