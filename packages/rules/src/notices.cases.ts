/** Check values of serials against the ranges of two published notices (CPSC, 2010 and 2023; shape only). */
const MANY = "608262–695909; 1170357–1180342; 1200001–1200070; 20031001–22082698";
const LETTERS = "AB6000637-AB6000676";

export const SERIAL_CASES = [
  { serial: "700000", ranges: "608262–695909; 1170357–1180342", is: "none", source: "CPSC notice, 2010" },
  { serial: "700000", ranges: MANY, is: "none", source: "CPSC notice, 2010" },
  { serial: "1175000", ranges: MANY, is: "match", source: "CPSC notice, 2010" },
  { serial: "AB600650", ranges: LETTERS, is: "check", source: "CPSC notice, 2023: a digit too few" },
  { serial: "608262", ranges: MANY, is: "match", source: "both ends are in" },
  { serial: "695909", ranges: MANY, is: "match", source: "both ends are in" },
  { serial: "608261", ranges: MANY, is: "none", source: "one below" },
  { serial: "1200071", ranges: "1200001–1200070", is: "none", source: "one above" },
  { serial: "1200071", ranges: MANY, is: "check", source: "choice: with a 2 in front it lies in the last range" },
  { serial: "ab 600.0637", ranges: LETTERS, is: "match", source: "choice: spaces, dots and case do not count" },
  { serial: "AB-600-0676", ranges: LETTERS, is: "match", source: "choice: hyphens do not count" },
  { serial: "AB6000677", ranges: LETTERS, is: "none", source: "one above" },
  { serial: "CD6000650", ranges: LETTERS, is: "check", source: "choice: the letters differ" },
  { serial: "6000650", ranges: LETTERS, is: "check", source: "choice: the letters are missing" },
  { serial: "AB60006500", ranges: LETTERS, is: "check", source: "choice: a digit too many" },
  { serial: "CD600650", ranges: LETTERS, is: "none", source: "choice: two things differ" },
  { serial: "AB6000650X", ranges: LETTERS, is: "check", source: "choice: another form is looked at" },
  { serial: "?", ranges: LETTERS, is: "check", source: "choice: another form is looked at" },
  { serial: null, ranges: LETTERS, is: "match", source: "choice: unknown is held" },
  { serial: " - ", ranges: LETTERS, is: "match", source: "choice: unknown is held" },
  { serial: "AB1", ranges: "", is: "match", source: "choice: no ranges, every serial" },
  { serial: "99999999999999998", ranges: "99999999999999997-99999999999999997", is: "none", source: "arithmetic: too long for a floating number" },
] as const;

export const RANGE_CASES = [
  { text: LETTERS, range: { prefix: "AB", digits: 7, low: "6000637", high: "6000676" } },
  { text: "608262-695909", range: { prefix: "", digits: 6, low: "608262", high: "695909" } },
  { text: "608262 – 695909", range: { prefix: "", digits: 6, low: "608262", high: "695909" } },
  { text: "608262 to 695909", range: { prefix: "", digits: 6, low: "608262", high: "695909" } },
  { text: "ab-000637 - ab-000676", range: { prefix: "AB", digits: 6, low: "000637", high: "000676" } },
  { text: "TO100 to TO200", range: { prefix: "TO", digits: 3, low: "100", high: "200" } },
  { text: "1.234", range: { prefix: "", digits: 4, low: "1234", high: "1234" } },
] as const;

export const REFUSED_RANGE_CASES = [
  { text: "AB6000637-6000676", reason: { code: "prefix-differs", low: "AB", high: "" } },
  { text: "AB600637-AB6000676", reason: { code: "digit-count-differs", low: 6, high: 7 } },
  { text: "695909-608262", reason: { code: "high-below-low" } },
  { text: "AB-6000637", reason: { code: "form" } },
  { text: "all of them", reason: { code: "form" } },
  { text: "100-200-300", reason: { code: "form" } },
  { text: "100 to 200 to 300", reason: { code: "form" } },
  { text: "100A-200A", reason: { code: "form" } },
  { text: "", reason: { code: "empty" } },
  { text: "1".repeat(81), reason: { code: "too-long" } },
  { text: `${"1".repeat(18)}-${"2".repeat(18)}`, reason: { code: "too-long" } },
] as const;
