/**
 * Codes as words: roles, states, cleaning, refusals. Switches name every code, so a new
 * one does not compile until it has its words. Holds have their own file, hold-words.ts.
 */
import type { Act } from "@hangrail/rules/acts";
import type { ClearedBy, Cleaning, Severity } from "@hangrail/rules/hand-out";
import type { ColdRating, Connection, ModelKind, Role } from "@hangrail/rules/models";
import type { SetState } from "@hangrail/rules/set-state";
import { isTRPCClientError } from "@trpc/client";
import type { IconName } from "./components/icon.tsx";

/** What a person may do. */
export type StaffRole = ClearedBy;
export const staffRoles = ["desk", "wash-room", "technician", "manager"] as const satisfies readonly StaffRole[];

/** A role as a person: "the technician". */
export function roleWords(role: StaffRole): string {
  switch (role) {
    case "desk":
      return "desk hand";
    case "wash-room":
      return "wash-room hand";
    case "technician":
      return "technician";
    case "manager":
      return "manager";
  }
}

/** "desk hand, technician": a person's roles in one line. */
export function rolesLine(roles: readonly StaffRole[]): string {
  const words = staffRoles.filter((role) => roles.includes(role)).map(roleWords);
  return words.length === 0 ? "no role: may look, not act" : words.join(", ");
}

/** "the technician or the manager": who clears something. */
export function whoClears(roles: readonly StaffRole[]): string {
  return roles.map((role) => `the ${roleWords(role)}`).join(" or ");
}

/** Background and text of a status; the word and the shape carry the meaning as well. */
export type Tone = "ready" | "info" | "warn" | "stop" | "rest" | "lock";
export type StateLook = { word: string; icon: IconName; tone: Tone };

/** A state as a word, a shape told apart without colour, and a tone. */
export function stateLook(state: SetState): StateLook {
  switch (state) {
    case "ready":
      return { word: "Ready", icon: "tick", tone: "ready" };
    case "out":
      return { word: "Out", icon: "out", tone: "info" };
    case "to-clean":
      return { word: "To clean", icon: "drop", tone: "warn" };
    case "in-bath":
      return { word: "In bath", icon: "bath", tone: "info" };
    case "drying":
      return { word: "Drying", icon: "wind", tone: "info" };
    case "tagged-out":
      return { word: "Tagged out", icon: "tag", tone: "stop" };
    case "on-the-bench":
      return { word: "On the bench", icon: "spanner", tone: "rest" };
    case "awaiting-parts":
      return { word: "Awaiting parts", icon: "box", tone: "rest" };
    case "to-release":
      return { word: "To release", icon: "pen", tone: "warn" };
    case "evidence-lock":
      return { word: "Evidence lock", icon: "lock", tone: "lock" };
    case "retired":
      return { word: "Retired", icon: "minus", tone: "rest" };
    case "held":
      return { word: "Held", icon: "octagon", tone: "stop" };
  }
}

export function cleaningWords(cleaning: Cleaning): string {
  switch (cleaning) {
    case "clean":
      return "clean";
    case "to-clean":
      return "to be cleaned";
    case "in-bath":
      return "in the bath";
    case "drying":
      return "drying";
  }
}

/** A component's place in its set. */
export function positionWords(role: Role): string {
  switch (role) {
    case "first-stage":
      return "First stage";
    case "primary":
      return "Primary second stage";
    case "alternate":
      return "Alternate second stage";
    case "gauge":
      return "Gauge";
    case "inflator-hose":
      return "Inflator hose";
    case "hose":
      return "Hose";
    case "transmitter":
      return "Transmitter";
  }
}

/** What a model is, in whichever position it sits. */
export function kindWords(kind: ModelKind): string {
  switch (kind) {
    case "first-stage":
      return "first stage";
    case "second-stage":
      return "second stage";
    case "gauge":
      return "gauge";
    case "inflator":
      return "inflator hose";
    case "hose":
      return "hose";
    case "transmitter":
      return "transmitter";
  }
}

export function connectionWords(connection: Connection): string {
  switch (connection) {
    case "yoke":
      return "yoke (A-clamp)";
    case "din-232":
      return "DIN 232 bar";
    case "din-300":
      return "DIN 300 bar";
    case "m26":
      return "M26 (nitrox)";
  }
}

export function coldWords(rating: ColdRating): string {
  switch (rating) {
    case "tested-4C":
      return "tested at 4 °C";
    case "warm-only":
      return "for water warmer than 10 °C";
    case "unknown":
      return "cold rating not recorded: treated as warm water only";
  }
}

/** Acts upon the site rather than upon one set. The first three are told to every set they touch as well. */
export const siteActs = [
  "limits-accepted",
  "pairing-changed",
  "policy-changed",
  "bath-mixed",
  "bath-emptied",
  "site-opened",
  "person-added",
  "roles-changed",
  "secret-changed",
  "person-closed",
  "authorised",
  "device-enrolled",
  "device-revoked",
  "product-accepted",
  "product-approved",
  "clock-confirmed",
  "severity-tuned",
  "bench-limit-accepted",
  "build-accepted",
  "kits-accepted",
  "kit-added",
  "kit-moved",
  "kit-ordered",
  "kit-order-closed",
  "gauge-added",
  "gauge-calibrated",
  "gauge-retired",
  "money-set",
  "booking-made",
  "booking-withdrawn",
  "bench-hours-set",
  "plan-accepted",
  "calendar-opened",
  "calendar-revoked",
] as const;

/** Whatever the record may hold. */
export type RecordedAct = Act | (typeof siteActs)[number];

/** An act as it stands in a line of time. */
export function actLook(act: RecordedAct): { word: string; icon: IconName } {
  switch (act) {
    case "registered":
      return { word: "Registered", icon: "book" };
    case "imported":
      return { word: "Imported from a list", icon: "swap" };
    case "handed-out":
      return { word: "Handed out", icon: "out" };
    case "taken-back":
      return { word: "Taken back", icon: "desk" };
    case "wash-started":
      return { word: "Put in the bath", icon: "bath" };
    case "wet-ended":
      return { word: "Taken out of the bath", icon: "drop" };
    case "cleaned":
      return { word: "Clean and dry", icon: "wind" };
    case "wash-abandoned":
      return { word: "Wash broken off", icon: "drop" };
    case "breath-tested":
      return { word: "Breath test by staff", icon: "person" };
    case "fitted":
      return { word: "Component fitted", icon: "loop" };
    case "removed":
      return { word: "Component removed", icon: "loop" };
    case "fault-reported":
      return { word: "Fault reported", icon: "tag" };
    case "fault-cleared":
      return { word: "Fault cleared", icon: "tick" };
    case "opened":
      return { word: "Opened on the bench", icon: "spanner" };
    case "serviced":
      return { word: "Serviced", icon: "spanner" };
    case "inspected":
      return { word: "Inspected", icon: "spanner" };
    case "bedding-checked":
      return { word: "Bedding check", icon: "spanner" };
    case "bench-test-failed":
      return { word: "Bench test not passed", icon: "octagon" };
    case "bench-tested":
      return { word: "Bench test", icon: "spanner" };
    case "released":
      return { word: "Released", icon: "pen" };
    case "retired":
      return { word: "Retired", icon: "minus" };
    case "transferred":
      return { word: "Moved to another site", icon: "house" };
    case "evidence-locked":
      return { word: "Sealed as evidence", icon: "lock" };
    case "notice-opened":
      return { word: "Safety notice opened", icon: "triangle" };
    case "notice-cleared":
      return { word: "Safety notice cleared", icon: "tick" };
    case "corrected":
      return { word: "Correction", icon: "pen" };
    case "limits-accepted":
      return { word: "Maker's limits accepted", icon: "book" };
    case "pairing-changed":
      return { word: "Pairing changed", icon: "loop" };
    case "policy-changed":
      return { word: "Site's settings changed", icon: "house" };
    case "bath-mixed":
      return { word: "Bath mixed", icon: "bath" };
    case "bath-emptied":
      return { word: "Bath emptied", icon: "bath" };
    case "site-opened":
      return { word: "Site opened", icon: "house" };
    case "person-added":
      return { word: "Person added", icon: "person" };
    case "roles-changed":
      return { word: "Roles changed", icon: "person" };
    case "secret-changed":
      return { word: "Password or PIN changed", icon: "person" };
    case "person-closed":
      return { word: "Account closed", icon: "person" };
    case "authorised":
      return { word: "Technician authorised", icon: "person" };
    case "device-enrolled":
      return { word: "Device enrolled", icon: "scan" };
    case "device-revoked":
      return { word: "Device taken out of use", icon: "scan" };
    case "product-accepted":
      return { word: "Disinfectant taken into use", icon: "drop" };
    case "product-approved":
      return { word: "Disinfectant approved for models", icon: "drop" };
    case "bench-limit-accepted":
      return { word: "Limits of the bench test accepted", icon: "book" };
    case "build-accepted":
      return { word: "A model's build accepted", icon: "book" };
    case "kits-accepted":
      return { word: "Kits of a service accepted", icon: "book" };
    case "kit-added":
      return { word: "Kit entered", icon: "box" };
    case "kit-moved":
      return { word: "Kits received or counted", icon: "box" };
    case "kit-ordered":
      return { word: "Kits ordered", icon: "box" };
    case "kit-order-closed":
      return { word: "Order of kits closed", icon: "box" };
    case "gauge-added":
      return { word: "Test gauge added", icon: "clock" };
    case "gauge-calibrated":
      return { word: "Test gauge calibrated", icon: "clock" };
    case "gauge-retired":
      return { word: "Test gauge taken out of use", icon: "minus" };
    case "clock-confirmed":
      return { word: "Clock confirmed", icon: "clock" };
    case "fault-confirmed":
      return { word: "Fault confirmed", icon: "tag" };
    case "photo-added":
      return { word: "Photograph added", icon: "info" };
    case "order-opened":
      return { word: "Work asked for", icon: "spanner" };
    case "order-taken":
      return { word: "Taken to the bench", icon: "spanner" };
    case "order-parked":
      return { word: "Waits for parts", icon: "box" };
    case "order-resumed":
      return { word: "Taken up again", icon: "spanner" };
    case "order-done":
      return { word: "Work order closed", icon: "tick" };
    case "custody-noted":
      return { word: "Passed on, sealed", icon: "lock" };
    case "evidence-lifted":
      return { word: "Seal lifted", icon: "lock" };
    case "severity-tuned":
      return { word: "Fault's severity set", icon: "tag" };
    case "money-set":
      return { word: "Prices entered", icon: "pen" };
    case "booking-made":
      return { word: "Booked", icon: "pen" };
    case "booking-withdrawn":
      return { word: "Booking withdrawn", icon: "minus" };
    case "bench-hours-set":
      return { word: "Bench hours set", icon: "clock" };
    case "plan-accepted":
      return { word: "Plan accepted", icon: "tick" };
    case "calendar-opened":
      return { word: "Calendar address given out", icon: "info" };
    case "calendar-revoked":
      return { word: "Calendar address withdrawn", icon: "minus" };
  }
}

/** Which units are shown; what is stored and judged is the same in both. */
export const unitChoices = [
  { value: "metric", label: "Metric: bar, metres, °C" },
  { value: "us", label: "US: psi, feet, °F" },
] as const;

/** A severity by its name. */
export function severityTitle(severity: Severity): string {
  switch (severity) {
    case "out":
      return "Out";
    case "hold":
      return "Hold";
    case "watch":
      return "Watch";
  }
}

/** What a fault's severity means for the set. */
export function severityWords(severity: Severity): string {
  switch (severity) {
    case "out":
      return "tagged out until a technician clears it";
    case "hold":
      return "held until it is put right and checked";
    case "watch":
      return "to be looked at again at the next return";
  }
}

/**
 * An error as a sentence for the person at the screen. What the server refused it has
 * already put into words; what never reached it, or broke here, is said here.
 */
export function errorWords(error: unknown): string {
  if (!isTRPCClientError(error)) return "Something went wrong on this screen. Load it again; if it comes back, tell the manager.";
  if (error.shape == null || error.message === "") return "The server did not answer. Nothing is known to have been recorded: look before you repeat it.";
  return error.message;
}

/** The sentences for single fields of what was sent, by the field's name; empty when the refusal names none. */
export function fieldErrors(error: unknown): Readonly<Record<string, string>> {
  if (!isTRPCClientError(error)) return {};
  const data: unknown = error.data;
  if (typeof data !== "object" || data === null || !("fields" in data) || typeof data.fields !== "object" || data.fields === null) return {};
  return Object.fromEntries(Object.entries(data.fields).filter((entry): entry is [string, string] => typeof entry[1] === "string"));
}
