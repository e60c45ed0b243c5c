/**
 * The acts of the trade, and what each does to a set's cleanness and release. Both are computed from
 * the acts recorded; no column says "clean" or "released" by itself.
 */

export interface ActEffect {
  /** The set has to be washed before it goes out again. */
  readonly soils: boolean;
  /** The set has to be released by a technician before it goes out again. */
  readonly endsRelease: boolean;
  /** The set has to pass a bench test before it can be released again. */
  readonly asksTest: boolean;
}

const SOILS: ActEffect = { soils: true, endsRelease: false, asksTest: false };
const SOILS_AND_ENDS_RELEASE: ActEffect = { soils: true, endsRelease: true, asksTest: false };
/** Joints or seals were open: what was tight before says nothing any more. */
const OPENED: ActEffect = { soils: true, endsRelease: true, asksTest: true };
const NEITHER: ActEffect = { soils: false, endsRelease: false, asksTest: false };

export const ACTS = {
  /** A new set has passed through hands nobody recorded, and no technician has vouched for it. */
  registered: SOILS_AND_ENDS_RELEASE,
  /** As registered: a spreadsheet's word is no wash and no release. */
  imported: SOILS_AND_ENDS_RELEASE,
  /** From here on a hirer breathes it. */
  "handed-out": SOILS,
  /** A return, also of a set said not to have been used. */
  "taken-back": SOILS,
  /** The set is in the bath: neither dirtier nor clean yet. */
  "wash-started": NEITHER,
  /** Out of the bath: it still has to be rinsed, purged and dried. */
  "wet-ended": NEITHER,
  /** Bath, rinse, purge under pressure and drying are all done. */
  cleaned: NEITHER,
  /** A broken-off wash is no wash: back to the queue. */
  "wash-abandoned": SOILS,
  /** Staff had it in the mouth. */
  "breath-tested": SOILS,
  /** A component came in from elsewhere, and joints were opened. */
  fitted: OPENED,
  /** Joints were opened and a port stood open. */
  removed: OPENED,
  /** A report changes what is known of the set; the fault itself holds it. */
  "fault-reported": NEITHER,
  /** Put right without a tool inside (a tie, a cap, a joint made hand-tight). Opening it is "opened". */
  "fault-cleared": NEITHER,
  /** Taken apart on the bench for whatever reason. */
  opened: OPENED,
  /** A service opens every seal; the days after one are risky days, so a release is a separate act. */
  serviced: OPENED,
  /** An inspection has it breathed, but opens nothing. */
  inspected: SOILS,
  /** Breathed and adjusted from outside. */
  "bedding-checked": SOILS,
  /** Breathed at the bench, in oil and dust. */
  "bench-tested": SOILS,
  /** A test that found something wrong, or was not sure after the work: whatever was released is so no more. */
  "bench-test-failed": OPENED,
  /** A signature. */
  released: NEITHER,
  /** The technician has seen the fault; it still holds. */
  "fault-confirmed": NEITHER,
  /** A picture of a fault. */
  "photo-added": NEITHER,
  /** Work asked for; nobody has touched the set yet. */
  "order-opened": NEITHER,
  /** On the bench: from here on it comes back by a release alone. Opening it is recorded as such. */
  "order-taken": SOILS_AND_ENDS_RELEASE,
  /** Laid aside for parts. */
  "order-parked": NEITHER,
  /** The parts are here. */
  "order-resumed": NEITHER,
  /** The order is closed; the work was recorded by its own acts. */
  "order-done": NEITHER,
  /** Paper only; a retired set is held by that alone. */
  retired: NEITHER,
  /** It travelled in a bag, and the other site's technician vouches for what leaves there. */
  transferred: SOILS_AND_ENDS_RELEASE,
  /** Sealed as it is: nobody may wash, open or test it. */
  "evidence-locked": NEITHER,
  /** Words about a sealed set: who has it, and where. */
  "custody-noted": NEITHER,
  /** Others had it in their hands and perhaps apart: it is washed, tested and released like any opened set. */
  "evidence-lifted": OPENED,
  /** A notice holds by itself. */
  "notice-opened": NEITHER,
  /** The work a notice asked for is recorded as its own act (opened, serviced). */
  "notice-cleared": NEITHER,
  /** Brought back from a backup: what happened since is not known, and that holds it by itself. */
  restored: NEITHER,
  /** Seen since the restore, and as the record has it. */
  "restored-seen": NEITHER,
  /** A further entry that puts an earlier one right; it touches no set. */
  corrected: NEITHER,
} as const satisfies Readonly<Record<string, ActEffect>>;

export type Act = keyof typeof ACTS;

/** Whether an act leaves the set to be washed. */
export function soils(act: Act): boolean {
  return ACTS[act].soils;
}

/** Whether an act leaves the set to be released. */
export function endsRelease(act: Act): boolean {
  return ACTS[act].endsRelease;
}

/** Whether an act leaves the set to be tested on the bench. */
export function asksTest(act: Act): boolean {
  return ACTS[act].asksTest;
}

/** What may still be recorded of a set that is sealed as evidence: words about it, that it came back, and that the seal is lifted. */
const UNDER_EVIDENCE_LOCK: ReadonlySet<Act> = new Set<Act>([
  "taken-back",
  "fault-reported",
  "photo-added",
  "notice-opened",
  "order-opened",
  "order-done",
  "custody-noted",
  "evidence-lifted",
  "restored",
  "restored-seen",
  "corrected",
]);

/** What may still be recorded of a retired set. */
const WHEN_RETIRED: ReadonlySet<Act> = new Set<Act>(["removed", "evidence-locked", "corrected"]);

/**
 * Why an act may not be done to a set at all, or `null` when it may. Under evidence lock nobody hands
 * it out, washes, opens, tests, services or releases it.
 */
export function refusalOf(
  act: Act,
  set: { readonly evidenceLock: boolean; readonly retired: boolean },
): "evidence-lock" | "retired" | null {
  if (set.evidenceLock && !UNDER_EVIDENCE_LOCK.has(act)) return "evidence-lock";
  if (set.retired && !WHEN_RETIRED.has(act)) return "retired";
  return null;
}
