/**
 * What is counted and measured, as whole numbers of small units. In floating point 9.8 - 9.5 > 0.3;
 * with whole numbers a reading on the limit is on the limit.
 *
 * The aliases say the unit in a signature. The constructors check a number on its way in (a form, a
 * file, a row) and throw a RangeError with a sentence; inside, a number is taken as checked.
 */

/** Hundredths of a bar: 232 bar = 23 200. */
export type Centibar = number;
/** Whole minutes under water. */
export type Minutes = number;
/** Whole dives. */
export type Dives = number;
/** Tenths of a percent of oxygen by volume: air = 210, EAN32 = 320. */
export type O2Tenths = number;
/** Tenths of a degree Celsius: 4 °C = 40. Below freezing it is negative. */
export type TenthsC = number;
/** Tenths of a metre of depth: 30 m = 300. */
export type Decimetres = number;

/** Checks a gauge pressure in hundredths of a bar, 0 to 1 000 bar. */
export function centibar(n: number): Centibar {
  return checked(n, 0, 100_000, "a pressure in hundredths of a bar");
}

/** Checks a count of minutes. */
export function minutes(n: number): Minutes {
  return checked(n, 0, 10_000_000, "a number of minutes");
}

/** Checks a count of dives. */
export function dives(n: number): Dives {
  return checked(n, 0, 1_000_000, "a number of dives");
}

/** Checks an oxygen share in tenths of a percent, above 0 to 100 %. */
export function o2Tenths(n: number): O2Tenths {
  return checked(n, 1, 1000, "an oxygen share in tenths of a percent");
}

/** Checks a water temperature in tenths of a degree Celsius; sea water freezes near -2 °C. */
export function tenthsC(n: number): TenthsC {
  return checked(n, -30, 500, "a water temperature in tenths of a degree Celsius");
}

/** Checks a depth in tenths of a metre, 0 to 350 m. */
export function decimetres(n: number): Decimetres {
  return checked(n, 0, 3500, "a depth in tenths of a metre");
}

/**
 * Turns a number as people write it into whole small units: `inUnits(9.5, 100)` = 950.
 *
 * A figure finer than the unit is rounded where it does no harm: a gas or a pressure asked for "up", a
 * limit or a water temperature "down", a reading to the nearest. First the binary dust comes off:
 * 40.1 × 10 is 401.00000000000006, and must not become 402.
 */
export function inUnits(value: number, perWhole: number, towards: "up" | "down" | "nearest" = "nearest"): number {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is not a number.`);
  const nearest = Math.round(value * perWhole);
  if (towards === "nearest" || Math.abs(value * perWhole - nearest) < 1e-6) return nearest;
  return towards === "up" ? Math.ceil(value * perWhole) : Math.floor(value * perWhole);
}

function checked(n: number, least: number, most: number, what: string): number {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${n} is not ${what}: write a whole number.`);
  if (n < least || n > most) throw new RangeError(`${n} is not ${what}: it must lie between ${least} and ${most}.`);
  return n;
}
