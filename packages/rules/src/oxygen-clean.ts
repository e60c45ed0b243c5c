/**
 * How much oxygen a component may meet, given how it was last serviced.
 *
 * Source: above 40 % oxygen equipment must be designed for it and cleaned for it: 29 CFR 1910.430(i).
 * That cleanness is lost by any service not done oxygen-clean (common practice): one smear of the
 * wrong grease is enough.
 */
import type { O2Tenths } from "./measures.ts";

/** Up to this share of oxygen no special cleaning is asked for (29 CFR 1910.430(i)): 40 %. */
export const CLEAN_ABOVE: O2Tenths = 400;

/** The last service, or other work that opened it. */
export interface LastService {
  readonly oxygenClean: boolean;
}

/**
 * The most oxygen a component may meet: its model's figure, above 40 % only while its last service
 * was done oxygen-clean. With no service recorded nobody here vouches for its cleanness, so it stays
 * at 40 % until one is.
 *
 * Answer: `null` while the model has no figure; it is no more known after a service than before.
 */
export function oxygenLimit(modelMost: O2Tenths | null, lastService: LastService | null): O2Tenths | null {
  if (modelMost === null || modelMost <= CLEAN_ABOVE) return modelMost;
  return lastService?.oxygenClean === true ? modelMost : CLEAN_ABOVE;
}

/** Whether work on a component has to be done oxygen-clean for it to keep what it may meet now. */
export function asksOxygenClean(modelMost: O2Tenths | null, lastService: LastService | null): boolean {
  const limit = oxygenLimit(modelMost, lastService);
  return limit !== null && limit > CLEAN_ABOVE;
}
