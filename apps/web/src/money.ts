/** Money as text, and as people type it. In a file of its own: the desk needs none of it. */
import { numberText } from "./format.ts";

/** Whole cents where the currency is said elsewhere: 123456 as "1 234.56"; a debt as "−12.00". */
export function amountText(cents: number): string {
  return `${cents < 0 ? "−" : ""}${numberText(Math.floor(Math.abs(cents) / 100))}.${String(Math.abs(cents) % 100).padStart(2, "0")}`;
}

/** Whole cents as money: 123456 as "1 234.56 EUR"; a debt as "−12.00 EUR". */
export const moneyText = (cents: number, currency: string): string => `${amountText(cents)} ${currency}`;

/** "12.50" or "12,50" as 1250; null for an empty field; undefined for what is no amount. */
export function readCents(text: string): number | null | undefined {
  const bare = text.trim().replace(/[\s\u202f]/g, "");
  if (bare === "") return null;
  const [, whole, part = ""] = /^(\d{1,8})(?:[.,](\d{1,2}))?$/.exec(bare) ?? [];
  return whole === undefined ? undefined : Number(whole) * 100 + Number(part.padEnd(2, "0"));
}
