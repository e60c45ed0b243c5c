/** The acts around people, devices, sessions, policy and the clock. One SQL function each, as in acts.ts. */
import type { Day } from "@hangrail/rules/calendar";
import { act, type Answer, type Who } from "./acts.ts";
import type { Database } from "./database.ts";

export const ROLES_OF_STAFF = ["desk", "wash-room", "technician", "manager"] as const;
/** What a person may do at a site. One person may hold several. */
export type StaffRole = (typeof ROLES_OF_STAFF)[number];

export interface SiteInput {
  readonly name: string;
  readonly timeZone: string;
  readonly units: "metric" | "us";
}
export interface PersonInput {
  readonly name: string;
  readonly login: string;
  readonly passwordHash: string;
  readonly pinHash: string | null;
}
/** Only the fields given are changed. */
export interface PolicyInput {
  readonly teachingMonths?: number | undefined;
  readonly shelfMonths?: number | undefined;
  readonly beddingDives?: number | undefined;
  readonly beddingDays?: number | undefined;
  readonly nitroxAboveTenths?: number | undefined;
  readonly nitroxNeedsM26?: boolean | undefined;
  readonly minutesPerDive?: number | undefined;
  readonly dryingMinutes?: number | undefined;
  readonly retentionMonths?: number | undefined;
  /** Whoever did the work does not release it. */
  readonly releaseBySecond?: boolean | undefined;
  readonly benchDays?: number | undefined;
  readonly units?: "metric" | "us" | undefined;
}

export const firstRun = (db: Database, site: SiteInput, manager: PersonInput) => act<Answer<{ site: string; staff: string }>>(db, "first_run", [site, manager]);
export const openSite = (db: Database, who: Who, site: SiteInput) => act<Answer<{ site: string }>>(db, "open_site", [who, site]);
export const addPerson = (db: Database, who: Who, person: PersonInput, roles: readonly StaffRole[]) =>
  act<Answer<{ staff: string }>>(db, "add_person", [who, person, [...roles]]);
export const setRoles = (db: Database, who: Who, staff: string, roles: readonly StaffRole[]) => act<Answer>(db, "set_roles", [who, staff, [...roles]]);
export const setSecret = (db: Database, who: Who, staff: string, passwordHash: string | null, pinHash: string | null, keepSession: string | null) =>
  act<Answer>(db, "set_secret", [who, staff, passwordHash, pinHash, keepSession]);
export const closePerson = (db: Database, who: Who, staff: string) => act<Answer>(db, "close_person", [who, staff]);
export const authorise = (db: Database, who: Who, staff: string, maker: string, oxygenClean: boolean, from: Day, until: Day, evidence: string) =>
  act<Answer>(db, "authorise", [who, staff, maker, oxygenClean, from, until, evidence]);

export const enrolDevice = (db: Database, who: Who, name: string, tokenHash: Buffer) => act<Answer<{ device: string }>>(db, "enrol_device", [who, name, tokenHash]);
export const revokeDevice = (db: Database, who: Who, device: string) => act<Answer>(db, "revoke_device", [who, device]);

export interface SessionInput {
  readonly tokenHash: Buffer;
  readonly staff: string;
  readonly site: string;
  readonly device: string | null;
  readonly openedWith: "password" | "pin";
  readonly hours: number;
  /** The session of the same browser that ends with this one's beginning. */
  readonly replaces: string | null;
}

export const openSession = (db: Database, s: SessionInput) =>
  act<Answer>(db, "open_session", [s.tokenHash, s.staff, s.site, s.device, s.openedWith, s.hours, s.replaces]);
export const touchSession = (db: Database, session: string) => act<null>(db, "touch_session", [session]);
export const endSession = (db: Database, session: string) => act<null>(db, "end_session", [session]);
export const takeAttempt = (db: Database, key: string) => act<Answer>(db, "take_attempt", [key]);
export const clearAttempts = (db: Database, key: string) => act<null>(db, "clear_attempts", [key]);

export interface SecurityNote {
  readonly kind: string;
  readonly staff: string | null;
  readonly device: string | null;
  readonly site: string | null;
  readonly detail: Readonly<Record<string, unknown>>;
}
export const noteSecurity = (db: Database, note: SecurityNote) =>
  act<null>(db, "note_security", [note.kind, note.staff, note.device, note.site, note.detail]);

export const setPolicy = (db: Database, who: Who, policy: PolicyInput) => act<Answer>(db, "set_policy", [who, policy]);
export const confirmClock = (db: Database, who: Who, words: string) => act<Answer<{ clock: string }>>(db, "confirm_clock", [who, words]);
/** These sets were seen since the restore; `null` = all that wait here and are not out, of which so many were counted. */
export const confirmSeen = (db: Database, who: Who, sets: readonly string[] | null, counted: number | null, words: string) =>
  act<Answer<{ sets: number }>>(db, "confirm_seen", [who, sets && [...sets], counted, words]);
export const beatClock = (db: Database, leapt: boolean) => act<null>(db, "beat_clock", [leapt]);
