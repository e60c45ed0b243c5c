import * as plain from "./plain-units.ts";

/** Check values of the conversions, to as many digits as their source prints. */
export const UNIT_CASES = [
  { what: "140 psi", got: plain.barFromPsi(140), is: 9.65, digits: 2, unit: "bar", source: "NIST SP 811" },
  { what: "9.5 bar", got: plain.psiFromBar(9.5), is: 137.8, digits: 1, unit: "psi", source: "NIST SP 811" },
  { what: "3000 psi", got: plain.barFromPsi(3000), is: 206.8, digits: 1, unit: "bar", source: "NIST SP 811" },
  { what: "500 psi", got: plain.barFromPsi(500), is: 34.5, digits: 1, unit: "bar", source: "NIST SP 811" },
  { what: "1 bar", got: plain.psiFromBar(1), is: 14.504, digits: 3, unit: "psi", source: "NIST SP 811" },
  { what: "1 psi", got: plain.barFromPsi(1), is: 0.06894757, digits: 8, unit: "bar", source: "NIST SP 811" },
  { what: "1 inH2O", got: plain.millibarFromInchesOfWater(1), is: 2.490889, digits: 6, unit: "mbar", source: "NIST SP 811" },
  { what: "1.25 inH2O", got: plain.millibarFromInchesOfWater(1.25), is: 3.11, digits: 2, unit: "mbar", source: "NIST SP 811" },
  {
    what: "1.25 inH2O",
    got: plain.cmOfWaterFromMillibar(plain.millibarFromInchesOfWater(1.25)),
    is: 3.175,
    digits: 9,
    unit: "cmH2O",
    source: "NIST SP 811",
  },
  { what: "3 inH2O", got: plain.millibarFromInchesOfWater(3), is: 7.47, digits: 2, unit: "mbar", source: "8 CCR 6057(b)" },
  { what: "25 mbar", got: plain.inchesOfWaterFromMillibar(25), is: 10.0, digits: 1, unit: "inH2O", source: "EN 250:2014" },
  {
    what: "0.75 inH2O, printed somewhere as 19 cm",
    got: plain.cmOfWaterFromMillibar(plain.millibarFromInchesOfWater(0.75)),
    is: 1.9,
    digits: 1,
    unit: "cmH2O",
    source: "NIST SP 811",
  },
  { what: "1 cmH2O", got: plain.millibarFromCmOfWater(1), is: 0.980665, digits: 6, unit: "mbar", source: "NIST SP 811" },
  { what: "100 ft", got: plain.metresFromFeet(100), is: 30.48, digits: 6, unit: "m", source: "NIST SP 811" },
  { what: "30 m", got: plain.feetFromMetres(30), is: 98.43, digits: 2, unit: "ft", source: "NIST SP 811" },
  { what: "50 °F", got: plain.celsiusFromFahrenheit(50), is: 10, digits: 9, unit: "°C", source: "NIST SP 811" },
  { what: "4 °C", got: plain.fahrenheitFromCelsius(4), is: 39.2, digits: 9, unit: "°F", source: "NIST SP 811" },
] as const;

/** Figures as typed, and what is kept of them: hundredths of a bar or of a millibar. */
export const ENTRY_CASES = [
  { text: "140", unit: "psi", kept: 965, shown: "140", source: "NIST SP 811" },
  { text: "9.5", unit: "bar", kept: 950, shown: "9.50", source: "arithmetic" },
  { text: "9,5", unit: "bar", kept: 950, shown: "9.50", source: "arithmetic" },
  { text: "137.8", unit: "psi", kept: 950, shown: "137.8", source: "NIST SP 811" },
  { text: "138", unit: "psi", kept: 951, shown: "138", source: "NIST SP 811" },
  { text: "3000", unit: "psi", kept: 20_684, shown: "3000", source: "NIST SP 811" },
  { text: "500", unit: "psi", kept: 3447, shown: "500", source: "NIST SP 811" },
  { text: "-5 psi", unit: "psi", kept: -34, shown: "-5", source: "NIST SP 811" },
  { text: "1.25", unit: "inH2O", kept: 311, shown: "1.25", source: "NIST SP 811" },
  { text: "0,75 inH2O", unit: "inH2O", kept: 187, shown: "0.75", source: "NIST SP 811" },
  { text: "1.9", unit: "cmH2O", kept: 186, shown: "1.9", source: "NIST SP 811: 0.75 inH2O, printed somewhere as 19 cm" },
  { text: "3", unit: "inH2O", kept: 747, shown: "3", source: "8 CCR 6057(b)" },
  { text: "25", unit: "mbar", kept: 2500, shown: "25.00", source: "EN 250:2014" },
  { text: "3.175", unit: "cmH2O", kept: 311, shown: "3.17", source: "NIST SP 811: 1.25 inH2O" },
] as const;
