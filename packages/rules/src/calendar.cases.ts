/** Check values of the calendar. `because` names the rule or the source. */
export const MONTH_CASES = [
  { from: "2024-02-29", months: 12, to: "2025-02-28", because: "no 29 February: the month's last day" },
  { from: "2025-08-31", months: 6, to: "2026-02-28", because: "no 31 February: the month's last day" },
  { from: "2025-08-31", months: 30, to: "2028-02-29", because: "a leap year's last day of February" },
  { from: "2025-02-28", months: 12, to: "2026-02-28", because: "the last day stays a date, it is not a month's end" },
  { from: "2028-02-29", months: 48, to: "2032-02-29", because: "29 February again" },
  { from: "2025-12-31", months: 2, to: "2026-02-28", because: "over the year's end" },
  { from: "2025-01-31", months: -2, to: "2024-11-30", because: "backwards, over the year's end" },
  { from: "2025-03-10", months: 0, to: "2025-03-10", because: "nothing added" },
  { from: "1999-11-30", months: 3, to: "2000-02-29", because: "2000 was a leap year: divisible by 400" },
  { from: "2099-11-30", months: 3, to: "2100-02-28", because: "2100 is none: divisible by 100" },
] as const;

export const DAYS_BETWEEN_CASES = [
  { from: "2027-01-31", to: "2027-03-01", days: 29 },
  { from: "2028-02-28", to: "2028-03-01", days: 2 },
  { from: "2028-10-28", to: "2028-10-30", days: 2 },
  { from: "2026-07-03", to: "2026-07-03", days: 0 },
  { from: "2026-01-01", to: "2025-01-01", days: -365 },
  { from: "1900-01-01", to: "2000-01-01", days: 36_524 },
] as const;

export const NO_DAYS = [
  "",
  "2025-02-29",
  "1900-02-29",
  "2025-04-31",
  "2025-13-01",
  "2025-00-10",
  "2025-01-00",
  "2025-1-1",
  "01/02/2025",
  "2025-01-01T00:00:00Z",
  " 2025-01-01",
  "1899-12-31",
  "0025-01-01",
  "２０２５-01-01",
] as const;

/** Which day it is somewhere at an instant (UTC). */
export const DAY_OF_CASES = [
  { at: "2026-07-03T12:00:00Z", zone: "Europe/Malta", is: "2026-07-03" },
  { at: "2026-07-03T22:00:00Z", zone: "Europe/Malta", is: "2026-07-04", because: "midnight in summer time, UTC+2" },
  { at: "2026-07-03T21:59:59Z", zone: "Europe/Malta", is: "2026-07-03" },
  { at: "2026-01-03T23:00:00Z", zone: "Europe/Malta", is: "2026-01-04", because: "midnight in winter time, UTC+1" },
  { at: "2026-07-03T13:29:59Z", zone: "Australia/Lord_Howe", is: "2026-07-03", because: "UTC+10:30 in July" },
  { at: "2026-07-03T13:30:00Z", zone: "Australia/Lord_Howe", is: "2026-07-04" },
  { at: "2026-01-03T13:00:00Z", zone: "Australia/Lord_Howe", is: "2026-01-04", because: "half an hour of summer time: UTC+11" },
  { at: "2026-07-04T09:59:59Z", zone: "Pacific/Honolulu", is: "2026-07-03" },
  { at: "2026-12-31T10:00:00Z", zone: "Pacific/Kiritimati", is: "2027-01-01", because: "UTC+14" },
  { at: "2026-03-29T00:59:59Z", zone: "Europe/London", is: "2026-03-29", because: "the night of the change" },
] as const;
