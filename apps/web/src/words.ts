/**
 * Codes as words: roles, states, cleaning, refusals. Switches name every code, so a new
 * one does not compile until it has its words. Holds have their own file, hold-words.ts.
 */
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
