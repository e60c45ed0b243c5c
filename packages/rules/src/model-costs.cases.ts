import type { ModelFigures } from "./model-figures.ts";

/** An invented model: 600.00 for 5 years and sold for 100.00; a service a year of 20.00 and half an hour at 40.00; one fault of 15 minutes a year. */
export const TERN: ModelFigures = {
  priceCents: 60_000,
  resaleCents: 10_000,
  lifeYears: 5,
  kitsPerService: 1,
  kitCents: 2000,
  benchMinutesPerService: 30,
  benchHourCents: 4000,
  serviceMonths: 12,
  serviceDives: "no-limit",
  divesPerYear: 100,
  faultsPerYear: 1,
  repairMinutesPerFault: 15,
  hireCentsPerYear: 90_000,
};
