/** What is typed into a booking. */

/** A percentage from 21 to 100 in tenths: "32" is 320, "32,5" is 325; null for anything else. */
export function readOxygen(text: string): number | null {
  if (!/^\d{2,3}(?:[.,]\d)?$/.test(text)) return null;
  const tenths = Math.round(Number(text.replace(",", ".")) * 10);
  return tenths >= 210 && tenths <= 1000 ? tenths : null;
}
