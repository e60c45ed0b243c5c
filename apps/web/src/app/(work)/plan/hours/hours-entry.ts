/** Hours as people write them. */

/** The most a week of one technician may have. */
export const MOST_HOURS = 100;

/** "12", "7,5", "7.5" and "7:30" as minutes; null for anything else, or more than a week may have. */
export function readHours(text: string): number | null {
  const clock = /^(\d{1,3}):([0-5]\d)$/.exec(text.trim());
  const plain = /^\d{1,3}(?:[.,]\d{1,2})?$/.exec(text.trim());
  const minutes = clock !== null ? Number(clock[1]) * 60 + Number(clock[2]) : plain !== null ? Math.round(Number(plain[0].replace(",", ".")) * 60) : null;
  return minutes === null || minutes > MOST_HOURS * 60 ? null : minutes;
}
