const NAMES = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** "2026-07" as "Jul 2026". */
export function monthName(month: string): string {
  return `${NAMES[Number(month.slice(5, 7)) - 1] ?? ""} ${month.slice(0, 4)}`;
}
