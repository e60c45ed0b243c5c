/**
 * Whether a component suits a cylinder, a gas and a water. Each question takes what is known of the
 * component, `null` when it was never recorded; what is not known suits nothing.
 */
import type { Centibar, O2Tenths, TenthsC } from "./measures.ts";
import type { ColdRating, Connection } from "./models.ts";

const FITS: Readonly<Record<Connection, readonly Connection[]>> = {
  yoke: ["yoke"],
  "din-232": ["din-232"], // too short to seal in a 300 bar valve (common practice)
  "din-300": ["din-232", "din-300"],
  m26: ["m26"],
};

/** Whether a first stage's connection fits a cylinder's valve. Source: ISO 12209:2013, EN 144-3:2003. */
export function fitsValve(connection: Connection | null, valve: Connection): boolean {
  return connection !== null && FITS[connection].includes(valve);
}

/** Whether nitrox may be breathed through this connection at a site with this policy (EN 144-3:2003). */
export function mayCarryGas(
  connection: Connection | null,
  gas: O2Tenths,
  policy: { readonly nitroxAboveTenths: O2Tenths; readonly nitroxNeedsM26: boolean },
): boolean {
  return !policy.nitroxNeedsM26 || gas <= policy.nitroxAboveTenths || connection === "m26";
}

/** Whether a first stage stands the cylinder's working pressure. */
export function standsPressure(maxSupply: Centibar | null, cylinder: Centibar): boolean {
  return maxSupply !== null && cylinder <= maxSupply;
}

/**
 * The most oxygen a component may meet: what is recorded for it, else the site's nitrox line, which
 * is air. Above 40 % a component must be made and cleaned for it: 29 CFR 1910.430(i).
 */
export function mostOxygen(recorded: O2Tenths | null, nitroxAboveTenths: O2Tenths): O2Tenths {
  return recorded ?? nitroxAboveTenths;
}

const TESTED_COLD: TenthsC = 40;
const WARM_ABOVE: TenthsC = 100;

/**
 * Whether a stage may go into water of this temperature. Source: EN 250:2014: without a temperature
 * mark tested down to 4 °C; marked ">10 °C", only in water warmer than 10 °C.
 */
export function standsCold(rating: ColdRating, water: TenthsC): boolean {
  return rating === "tested-4C" ? water >= TESTED_COLD : water > WARM_ABOVE;
}
