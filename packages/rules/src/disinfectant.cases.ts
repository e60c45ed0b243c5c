/** Check values of mixtures. Strength in hundredths of a percent; ppm in whole ppm. */
export const MIXTURE_CASES = [
  { mix: "5.25 %, 1 in 10", strength: 525, product: 1, water: 9, ppm: 5250, source: "sodium hypochlorite fact sheet" },
  { mix: "5.25 %, 1 in 50", strength: 525, product: 1, water: 49, ppm: 1050, source: "sodium hypochlorite fact sheet" },
  { mix: "5.25 %, 1 in 100", strength: 525, product: 1, water: 99, ppm: 525, source: "sodium hypochlorite fact sheet" },
  { mix: "5.25 %, 1 and 10", strength: 525, product: 1, water: 10, ppm: 4773, source: "arithmetic" },
  { mix: "5.25 %, 1 and 50", strength: 525, product: 1, water: 50, ppm: 1029, source: "arithmetic" },
  { mix: "5.25 %, 1 and 100", strength: 525, product: 1, water: 100, ppm: 520, source: "arithmetic" },
  { mix: "5 %, 1 and 99", strength: 500, product: 1, water: 99, ppm: 500, source: "WHO 2014, annex G" },
  // In hundredths of a millilitre: a third of 236.588 ml, and 3 785.41 ml.
  { mix: "5.25 %, a third of a US cup in a US gallon", strength: 525, product: 7886, water: 378_541, ppm: 1071, source: "arithmetic; printed elsewhere as 4 %, 2100 ppm" },
  { mix: "the product as it is", strength: 525, product: 100, water: 0, ppm: 52_500, source: "arithmetic" },
] as const;

export const NEEDED_CASES = [
  { want: "2.5 % to 500 ppm in 20 l", strength: 250, ppm: 500, total: 20_000, product: 400, water: 19_600, source: "WHO 2014, annex G" },
  { want: "5.25 % to 1000 ppm in 20 l", strength: 525, ppm: 1000, total: 20_000, product: 381, water: 19_619, source: "arithmetic" },
  { want: "quat 10 % to 400 ppm in 25 l", strength: 1000, ppm: 400, total: 25_000, product: 100, water: 24_900, source: "arithmetic" },
] as const;
