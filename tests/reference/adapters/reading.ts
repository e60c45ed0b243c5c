/** Small readers for the inputs of cases. What is there and makes no sense is an error, never a guess. */
import { day } from "@hangrail/rules/calendar";
import type { Day } from "@hangrail/rules/calendar";
import { isRecord } from "../cases.ts";

export type Fields = Record<string, unknown>;

export function fields(value: unknown, what: string): Fields {
  if (!isRecord(value)) throw new Error(`${what} must be an object, not ${JSON.stringify(value)}`);
  return value;
}

export function list(value: unknown, what: string): readonly unknown[] {
  if (!Array.isArray(value)) throw new Error(`${what} must be a list, not ${JSON.stringify(value)}`);
  return value;
}

export function text(value: unknown, what: string): string {
  if (typeof value !== "string") throw new Error(`${what} must be text, not ${JSON.stringify(value)}`);
  return value;
}

export function number(value: unknown, what: string): number {
  if (typeof value !== "number" || !Number.isFinite(value)) throw new Error(`${what} must be a number, not ${JSON.stringify(value)}`);
  return value;
}

export function numberOrNull(value: unknown, what: string): number | null {
  return value === null || value === undefined ? null : number(value, what);
}

export function readDay(value: unknown, what: string): Day {
  return day(text(value, what));
}

export function dayOrNull(value: unknown, what: string): Day | null {
  return value === null || value === undefined ? null : readDay(value, what);
}
