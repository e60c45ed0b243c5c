import * as units from "./units.ts";

/** Check values of the conversions, to as many digits as their source prints. */
export const UNIT_CASES = [
  { what: "140 psi", got: units.barFromPsi(140), is: 9.65, digits: 2, unit: "bar", source: "NIST SP 811" },
  { what: "9.5 bar", got: units.psiFromBar(9.5), is: 137.8, digits: 1, unit: "psi", source: "NIST SP 811" },
  { what: "3000 psi", got: units.barFromPsi(3000), is: 206.8, digits: 1, unit: "bar", source: "NIST SP 811" },
  { what: "500 psi", got: units.barFromPsi(500), is: 34.5, digits: 1, unit: "bar", source: "NIST SP 811" },
  { what: "1 bar", got: units.psiFromBar(1), is: 14.504, digits: 3, unit: "psi", source: "NIST SP 811" },
  { what: "1 psi", got: units.barFromPsi(1), is: 0.06894757, digits: 8, unit: "bar", source: "NIST SP 811" },
  { what: "1 inH2O", got: units.millibarFromInchesOfWater(1), is: 2.490889, digits: 6, unit: "mbar", source: "NIST SP 811" },
  { what: "1.25 inH2O", got: units.millibarFromInchesOfWater(1.25), is: 3.11, digits: 2, unit: "mbar", source: "NIST SP 811" },
  {
    what: "1.25 inH2O",
    got: units.cmOfWaterFromMillibar(units.millibarFromInchesOfWater(1.25)),
    is: 3.175,
    digits: 9,
    unit: "cmH2O",
    source: "NIST SP 811",
  },
  { what: "3 inH2O", got: units.millibarFromInchesOfWater(3), is: 7.47, digits: 2, unit: "mbar", source: "8 CCR 6057(b)" },
  { what: "25 mbar", got: units.inchesOfWaterFromMillibar(25), is: 10.0, digits: 1, unit: "inH2O", source: "EN 250:2014" },
  {
    what: "0.75 inH2O, printed somewhere as 19 cm",
    got: units.cmOfWaterFromMillibar(units.millibarFromInchesOfWater(0.75)),
    is: 1.9,
    digits: 1,
    unit: "cmH2O",
    source: "NIST SP 811",
  },
  { what: "1 cmH2O", got: units.millibarFromCmOfWater(1), is: 0.980665, digits: 6, unit: "mbar", source: "NIST SP 811" },
  { what: "100 ft", got: units.metresFromFeet(100), is: 30.48, digits: 6, unit: "m", source: "NIST SP 811" },
  { what: "30 m", got: units.feetFromMetres(30), is: 98.43, digits: 2, unit: "ft", source: "NIST SP 811" },
  { what: "50 °F", got: units.celsiusFromFahrenheit(50), is: 10, digits: 9, unit: "°C", source: "NIST SP 811" },
  { what: "4 °C", got: units.fahrenheitFromCelsius(4), is: 39.2, digits: 9, unit: "°F", source: "NIST SP 811" },
] as const;
