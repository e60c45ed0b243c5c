/**
 * The fault list: what the desk hears and sees, and how far each fault goes.
 *
 * Source: common practice; where a public recall or alert stands behind a line it is named there. The
 * words are the desk's, so that a hand without training finds the line; causes are the bench's business.
 */
import type { Severity } from "./hand-out.ts";
import type { ModelKind } from "./models.ts";

export interface FaultKind {
  readonly code: string;
  /** What is seen, heard or felt, in desk words. */
  readonly words: string;
  /** The severity it opens with. A "hold" may grow to "out" on the bench, a "watch" on the next return. */
  readonly severity: Severity;
  readonly where: ModelKind | "set";
}

export const FAULTS = [
  { code: "FS-01", words: "Second stage starts to hiss some minutes after the valve is opened", severity: "out", where: "first-stage" },
  { code: "FS-02", words: "Pressure to the second stages too high, or a relief valve blows", severity: "out", where: "first-stage" },
  { code: "FS-03", words: "Pressure to the second stages too low or slow to come back; hard to breathe when the cylinder is low", severity: "out", where: "first-stage" },
  { code: "FS-04", words: "Bubbles from the body or its environmental cap", severity: "out", where: "first-stage" },
  { code: "FS-05", words: "Hiss where it meets the cylinder valve", severity: "hold", where: "first-stage" },
  // CPSC alert 07-501 (2006): yokes cracked after over-tightening.
  { code: "FS-06", words: "Yoke or DIN wheel bent, cracked or cross-threaded", severity: "out", where: "first-stage" },
  { code: "FS-07", words: "Inlet filter green, red or grey", severity: "out", where: "first-stage" },
  { code: "FS-08", words: "Rinsed without its cap, or flooded", severity: "out", where: "first-stage" },
  { code: "FS-09", words: "Corrosion, salt, or a port plug that will not turn", severity: "hold", where: "first-stage" },
  { code: "FS-10", words: "Iced up, or flowed freely in cold water", severity: "out", where: "first-stage" },
  { code: "SS-01", words: "Flows freely at the surface or after a purge, and stops when turned down", severity: "watch", where: "second-stage" },
  { code: "SS-02", words: "Flows freely and does not stop", severity: "out", where: "second-stage" },
  { code: "SS-03", words: "Hard to breathe in", severity: "out", where: "second-stage" },
  { code: "SS-04", words: "Water comes with the breath", severity: "out", where: "second-stage" },
  { code: "SS-05", words: "Hums or shudders with the breath", severity: "watch", where: "second-stage" },
  { code: "SS-06", words: "Purge button sticks or does nothing", severity: "out", where: "second-stage" },
  { code: "SS-07", words: "Mouthpiece torn, or its tie loose", severity: "hold", where: "second-stage" },
  { code: "SS-08", words: "Exhaust valve stuck or out of its seat", severity: "out", where: "second-stage" },
  { code: "SS-09", words: "Bad taste, smell or mould; check the cylinder's gas too", severity: "out", where: "second-stage" },
  { code: "SS-10", words: "Sand or grit inside", severity: "hold", where: "second-stage" },
  // CPSC recall of 26 June 2018: gas stopped below 500 psi (34.5 bar).
  { code: "SS-11", words: "Gas stops or comes thinly when the cylinder is low; look for a notice", severity: "out", where: "second-stage" },
  { code: "PG-01", words: "Gauge does not go back to zero", severity: "out", where: "gauge" },
  { code: "PG-02", words: "Needle sticks, lags, or drops with each breath", severity: "out", where: "gauge" },
  { code: "PG-03", words: "Gauge reads differently from the master gauge", severity: "out", where: "gauge" },
  { code: "PG-04", words: "Leak at the gauge's swivel", severity: "hold", where: "gauge" },
  { code: "PG-05", words: "Water or fog behind the glass, glass cracked, or plug blown", severity: "out", where: "gauge" },
  { code: "HO-01", words: "Hose cut or cracked, or its cover loose", severity: "out", where: "hose" },
  { code: "HO-02", words: "Hose has a bulge, blister or soft spot", severity: "out", where: "hose" },
  { code: "HO-03", words: "Hose kinked or stiff where it meets the fitting", severity: "out", where: "hose" },
  { code: "HO-04", words: "Hose hisses", severity: "out", where: "hose" },
  { code: "HO-05", words: "Yellow crystals or crumbs in the mouthpiece, or gas that slowly thins", severity: "out", where: "hose" },
  { code: "HO-06", words: "Fitting can be turned by hand", severity: "hold", where: "hose" },
  { code: "HO-07", words: "Low-pressure hose on a high-pressure port", severity: "out", where: "hose" },
  { code: "IN-01", words: "Inflator sticks open or fills by itself", severity: "out", where: "inflator" },
  { code: "IN-02", words: "Inflator coupling leaks or will not lock", severity: "hold", where: "inflator" },
  { code: "TX-01", words: "Transmitter shows nothing or a wrong pressure", severity: "hold", where: "transmitter" },
  { code: "TX-02", words: "Leak at the transmitter's port", severity: "out", where: "transmitter" },
  { code: "GN-01", words: "Tag or serial number cannot be read, or is not the one recorded", severity: "hold", where: "set" },
  { code: "GN-02", words: "Dropped, driven over, or lost under water and found", severity: "out", where: "set" },
  { code: "GN-03", words: "Used in a diving accident: seal it as it is", severity: "out", where: "set" },
  { code: "GN-04", words: "The hirer reports a problem; nobody has looked at it yet", severity: "out", where: "set" },
] as const satisfies readonly FaultKind[];

export type FaultCode = (typeof FAULTS)[number]["code"];

/** The accident code: it puts the set under evidence lock. Nobody washes, opens, tests or services it. */
export const ACCIDENT: FaultCode = "GN-03";

const BY_CODE: ReadonlyMap<string, FaultKind & { readonly code: FaultCode }> = new Map(
  FAULTS.map((fault) => [fault.code, fault]),
);

/** Whether the text is a code of the list. */
export function isFaultCode(text: string): text is FaultCode {
  return BY_CODE.has(text);
}

/** The line of the list for a code. */
export function faultOf(code: FaultCode): FaultKind & { readonly code: FaultCode } {
  const fault = BY_CODE.get(code);
  if (fault === undefined) throw new RangeError(`There is no fault code "${String(code)}".`);
  return fault;
}

/** The faults that can be found on a kind of component, and on the set as a whole. */
export function faultsAt(where: ModelKind | "set"): readonly (FaultKind & { readonly code: FaultCode })[] {
  return FAULTS.filter((fault) => fault.where === where);
}

const RANK: Readonly<Record<Severity, number>> = { watch: 0, hold: 1, out: 2 };

/**
 * Whether a fault may be recorded with another severity than the list's. It may always be taken more
 * seriously; what the list calls "out" is never taken more lightly.
 */
export function mayTune(code: FaultCode, severity: Severity): boolean {
  const listed = faultOf(code).severity;
  return listed !== "out" || RANK[severity] >= RANK[listed];
}

/** Whether a fault puts the set under evidence lock. */
export function opensEvidenceLock(code: FaultCode): boolean {
  return code === ACCIDENT;
}
