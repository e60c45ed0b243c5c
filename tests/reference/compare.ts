/**
 * Compares an answer with what a case expects.
 *
 * A number passes if |got - expected| <= max(abs, rel * |expected|). The tolerance is that of the
 * nearest key above the number, else `default`, else rel 1e-6 and abs 1e-9. Where a case gives only
 * one of the two, abs alone means no rel, and rel alone keeps abs 1e-9. Everything else is equal or
 * it is not. Keys the case does not expect are not looked at, but no number may be NaN or infinite.
 */
import { isRecord } from "./cases.ts";
import type { Tolerance } from "./cases.ts";

const DEFAULT: Tolerance = { rel: 1e-6, abs: 1e-9 };
const MS_PER_DAY = 86_400_000;
const DATE = /^\d{4}-\d{2}-\d{2}$/;

/** Every difference as one line; an empty list means the case passes. */
export function differences(got: unknown, expected: unknown, tolerance: Readonly<Record<string, unknown>>): string[] {
  const byDefault = isRecord(tolerance["default"]) ? tolerance["default"] : null;
  const general: Tolerance = tolerance["exact"] === true ? { exact: true } : byDefault ?? DEFAULT;
  const lines: string[] = [];
  compare(got, expected, "", general);
  findNonNumbers(got, "");
  return lines;

  function compare(a: unknown, b: unknown, path: string, allowed: Tolerance): void {
    if ("any" in allowed) return;
    if (Array.isArray(b)) {
      if (!Array.isArray(a)) return differ(path, a, b);
      if (a.length !== b.length) return differ(path, a, b);
      b.forEach((item, index) => compare(a[index], item, `${path}[${index}]`, allowed));
    } else if (isRecord(b)) {
      if (!isRecord(a)) return differ(path, a, b);
      for (const [key, value] of Object.entries(b)) {
        const own = tolerance[key];
        compare(a[key], value, path === "" ? key : `${path}.${key}`, isRecord(own) ? own : allowed);
      }
    } else if (!sameLeaf(a, b, allowed)) differ(path, a, b);
  }

  function findNonNumbers(value: unknown, path: string): void {
    if (typeof value === "number" && !Number.isFinite(value)) lines.push(`${path || "answer"}: ${value} is no number`);
    else if (Array.isArray(value)) value.forEach((item, index) => findNonNumbers(item, `${path}[${index}]`));
    else if (isRecord(value)) {
      for (const [key, item] of Object.entries(value)) findNonNumbers(item, path === "" ? key : `${path}.${key}`);
    }
  }

  function differ(path: string, a: unknown, b: unknown): void {
    lines.push(`${path || "answer"}: got ${show(a)}, expected ${show(b)}`);
  }
}

function sameLeaf(a: unknown, b: unknown, { exact, rel, abs, days }: Tolerance): boolean {
  if (typeof a === "number" && typeof b === "number") {
    if (exact === true) return a === b;
    const most = Math.max(abs ?? DEFAULT.abs ?? 0, (rel ?? (abs === undefined ? DEFAULT.rel ?? 0 : 0)) * Math.abs(b));
    return Math.abs(a - b) <= most;
  }
  if (days !== undefined && typeof a === "string" && typeof b === "string" && DATE.test(a) && DATE.test(b)) {
    return Math.abs(Date.parse(a) - Date.parse(b)) <= days * MS_PER_DAY;
  }
  return a === b;
}

function show(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = typeof value === "number" ? String(value) : JSON.stringify(value);
  return text.length > 400 ? `${text.slice(0, 400)}...` : text;
}
