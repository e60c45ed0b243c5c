/**
 * Between the units of the trade. What is kept and compared are whole small units (measures.ts):
 * pressures in hundredths of a bar, breathing efforts in hundredths of a millibar.
 *
 * `readPressure` and `readEffort` take a figure as typed, `shownPressure` and `shownEffort` write one
 * back; both reckon in fractions, so nothing is lost but what the small unit cannot hold. For figures
 * that decide nothing there are plain-units.ts.
 *
 * Source: NIST Special Publication 811 (2008), appendix B: pound-force per square inch, conventional
 * inch and centimetre of water.
 */

/** Hundredths of a millibar: 3.11 mbar = 311. */
export type Centimillibar = number;

export const PRESSURE_UNITS = ["bar", "psi"] as const;
export type PressureUnit = (typeof PRESSURE_UNITS)[number];
export const EFFORT_UNITS = ["mbar", "inH2O", "cmH2O"] as const;
export type EffortUnit = (typeof EFFORT_UNITS)[number];
type Unit = PressureUnit | EffortUnit;

/** How many small units make one of the unit: numerator and denominator, exact. */
const SMALL_PER: Readonly<Record<Unit, readonly [bigint, bigint]>> = {
  bar: [100n, 1n],
  // 0.453 592 37 kg × 9.806 65 m/s² over (0.0254 m)², in hundredths of a bar of 1 000 Pa: exact by definition.
  psi: [45_359_237n * 980_665n, 64_516n * 100_000_000n],
  mbar: [100n, 1n],
  inH2O: [254n * 980_665n, 1_000_000n],
  cmH2O: [980_665n, 10_000n],
};

const SUFFIXES: ReadonlyMap<string, Unit> = new Map<string, Unit>([
  ["bar", "bar"], ["psi", "psi"], ["psig", "psi"], ["mbar", "mbar"], ["inh2o", "inH2O"], ["cmh2o", "cmH2O"],
]);

/** Hundredths of a bar (1 000 bar), hundredths of a millibar (500 mbar): nothing on a bench shows more. */
const MOST_PRESSURE = 100_000;
const MOST_EFFORT = 50_000;

export type EntryRefusal =
  | "empty"
  | "not-a-number"
  /** "3,000" is three thousand to one reader and three to another. */
  | "decimal-mark-open"
  /** It names a unit of something else. */
  | "other-unit"
  | "out-of-range";

export type Entry =
  | { readonly entry: "value"; readonly value: number }
  | { readonly entry: "refused"; readonly why: EntryRefusal };

/**
 * Reads a pressure as typed, with a point or a comma: "9.5", "9,5", "137.8 psi". A unit behind the
 * figure goes before the one asked for. `mark` settles which mark is the decimal one, where known.
 *
 * Units:  whole hundredths of a bar, to the nearest, halves away from nought. A limit is read the same
 *         way, so that a reading on the limit is on the limit in whichever unit both were typed.
 * Errors: none; what cannot be read is a tagged refusal.
 */
export function readPressure(text: string, unit: PressureUnit, mark?: "comma" | "point"): Entry {
  return readEntry(text, unit, PRESSURE_UNITS, MOST_PRESSURE, mark);
}

/** Reads a breathing effort as typed; whole hundredths of a millibar. Otherwise as `readPressure`. */
export function readEffort(text: string, unit: EffortUnit, mark?: "comma" | "point"): Entry {
  return readEntry(text, unit, EFFORT_UNITS, MOST_EFFORT, mark);
}

const refused = (why: EntryRefusal): Entry => ({ entry: "refused", why });

function readEntry(text: string, asked: Unit, family: readonly Unit[], most: number, told: "comma" | "point" | undefined): Entry {
  if (text.length > 40) return refused("not-a-number");
  const written = text.normalize("NFKC").replace(/[\u2010-\u2015\u2212]/g, "-").trim();
  if (written === "") return refused("empty");
  const parts = /^([+-]?)(\d{0,9})(?:([.,])(\d{1,9}))?\s*([a-z][a-z0-9 ]*)?$/i.exec(written);
  if (parts === null) return refused("not-a-number");
  const [, sign = "", before = "", mark = "", behind = "", suffix = ""] = parts;
  if (before + behind === "") return refused("not-a-number");
  const unit = suffix === "" ? asked : SUFFIXES.get(suffix.toLowerCase().replaceAll(" ", ""));
  if (unit === undefined) return refused("not-a-number");
  if (!family.includes(unit)) return refused("other-unit");
  // A group of thousands has three digits, and no number begins with a group of noughts.
  const couldGroup = mark === "," && behind.length === 3 && /^[1-9]\d{0,2}$/.test(before);
  if (couldGroup && told === undefined) return refused("decimal-mark-open");
  if (mark === "," && told === "point" && !couldGroup) return refused("not-a-number");
  if (mark === "." && told === "comma") return refused("not-a-number");
  const decimals = couldGroup && told === "point" ? "" : behind;
  const [small, per] = SMALL_PER[unit];
  const value = Number(nearest(BigInt(before + behind) * small, 10n ** BigInt(decimals.length) * per));
  if (value > most) return refused("out-of-range");
  return { entry: "value", value: sign === "-" && value !== 0 ? -value : value };
}

/**
 * Writes a pressure in a unit: the shortest figure that reads back as exactly the pressure kept. So no
 * digit is shown that was not measured, and two pressures that differ never look the same. In bar it
 * always has its two decimals.
 *
 * Errors: a RangeError when the pressure is not a whole number.
 */
export function shownPressure(centibar: number, unit: PressureUnit): string {
  return shown(centibar, unit);
}

/** Writes a breathing effort, given in whole hundredths of a millibar, in a unit; as `shownPressure`. */
export function shownEffort(effort: Centimillibar, unit: EffortUnit): string {
  return shown(effort, unit);
}

function shown(kept: number, unit: Unit): string {
  if (!Number.isSafeInteger(kept)) throw new RangeError(`${kept} is not a whole number of small units.`);
  const [small, per] = SMALL_PER[unit];
  const size = BigInt(Math.abs(kept));
  let decimals = small === 100n && per === 1n ? 2 : 0;
  for (;;) {
    const scale = 10n ** BigInt(decimals);
    const figure = nearest(size * per * scale, small);
    if (nearest(figure * small, per * scale) === size) {
      const digits = figure.toString().padStart(decimals + 1, "0");
      const whole = digits.slice(0, digits.length - decimals);
      return `${kept < 0 ? "-" : ""}${whole}${decimals === 0 ? "" : `.${digits.slice(-decimals)}`}`;
    }
    decimals += 1;
  }
}

/** The whole number nearest to a fraction of two numbers above nought, halves up. */
function nearest(over: bigint, under: bigint): bigint {
  return (2n * over + under) / (2n * under);
}
