/** Published limits for a Poisson count: Garwood, Biometrika 28:437 (1936), table 1, as printed (95 %, both sides). */
export const GARWOOD_CASES = [
  { events: 0, lower: "0.000", upper: "3.689" },
  { events: 1, lower: "0.025", upper: "5.572" },
  { events: 5, lower: "1.623", upper: "11.668" },
  { events: 10, lower: "4.795", upper: "18.390" },
  { events: 20, lower: "12.217", upper: "30.888" },
  { events: 50, lower: "37.111", upper: "65.919" },
] as const;

/** Published comparisons. The limits of the first are printed in the R documentation; of the second, from R. */
export const RATIO_CASES = [
  { what: "11 in 800 against 21 in 3011", first: [11, 800], second: [21, 3011], ratio: 1.97149, lower: 0.8584264, upper: 4.277266, pCentral: 0.1120173, pMinlike: 0.07966863, source: "R documentation, poisson.test" },
  { what: "breast cancer after fluoroscopy", first: [41, 28_010], second: [15, 19_017], ratio: 1.855759, lower: 1.005684, upper: 3.6093, pCentral: 0.04766025, pMinlike: 0.04085203, source: "Boice and Monson 1977; limits and p from R" },
] as const;
