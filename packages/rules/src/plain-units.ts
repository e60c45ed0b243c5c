/**
 * Between the units of the trade in plain floating-point numbers, for figures that are shown and decide
 * nothing. What is judged goes through units.ts.
 *
 * Source: NIST Special Publication 811 (2008), appendix B: pound-force per square inch, conventional
 * inch and centimetre of water, foot, degree Fahrenheit.
 */

// 0.453 592 37 kg × 9.806 65 m/s² over (0.0254 m)²: exact by definition, the division is not finite.
const PASCAL_PER_PSI = (0.45359237 * 9.80665) / (0.0254 * 0.0254);
const PASCAL_PER_CM_WATER = 98.0665;
const CM_PER_INCH = 2.54;
const METRES_PER_FOOT = 0.3048;

export function barFromPsi(psi: number): number {
  return (psi * PASCAL_PER_PSI) / 100_000;
}

export function psiFromBar(bar: number): number {
  return (bar * 100_000) / PASCAL_PER_PSI;
}

export function millibarFromInchesOfWater(inches: number): number {
  return (inches * CM_PER_INCH * PASCAL_PER_CM_WATER) / 100;
}

export function inchesOfWaterFromMillibar(millibar: number): number {
  return (millibar * 100) / PASCAL_PER_CM_WATER / CM_PER_INCH;
}

export function millibarFromCmOfWater(cm: number): number {
  return (cm * PASCAL_PER_CM_WATER) / 100;
}

export function cmOfWaterFromMillibar(millibar: number): number {
  return (millibar * 100) / PASCAL_PER_CM_WATER;
}

export function metresFromFeet(feet: number): number {
  return feet * METRES_PER_FOOT;
}

export function feetFromMetres(metres: number): number {
  return metres / METRES_PER_FOOT;
}

export function celsiusFromFahrenheit(fahrenheit: number): number {
  return ((fahrenheit - 32) * 5) / 9;
}

export function fahrenheitFromCelsius(celsius: number): number {
  return (celsius * 9) / 5 + 32;
}
