/**
 * How strong a bath is. Computed from the product's strength and two volumes, C1·V1 = C2·V2, and never
 * from a ratio: "1:10" is read as 1 in 10 by one and as 1 and 10 by the next, 9 % apart.
 *
 * Units: strength in whole hundredths of a percent (5.25 % = 525), ppm in whole tenths, volumes in
 * whole millilitres (any other unit gives the same, so long as both are in it). 1 % = 10 000 ppm,
 * taking weight by volume for weight by weight, as labels do at these strengths.
 */

export interface Mixture {
  /** Strength of the product in its bottle, hundredths of a percent. */
  readonly strengthHundredths: number;
  readonly productMl: number;
  readonly waterMl: number;
}

const TENTHS_OF_PPM_PER_HUNDREDTH_PERCENT = 1000;

/** Strength of a mixture, tenths of a ppm, rounded to the nearest. Throws a RangeError on an impossible mixture. */
export function ppmTenths(mixture: Mixture): number {
  const { active, total } = shares(mixture);
  return Math.round(active / total);
}

/**
 * Product needed to bring a bath of a total volume to a target, in millilitres, rounded UP, since a
 * bath a drop too weak does not do what the label says. The water is the rest of the total.
 */
export function productNeeded(
  strengthHundredths: number,
  targetPpmTenths: number,
  totalMl: number,
): { readonly productMl: number; readonly waterMl: number } {
  natural(strengthHundredths, "the product's strength");
  natural(targetPpmTenths, "the target strength");
  natural(totalMl, "the bath's volume");
  const productPpmTenths = strengthHundredths * TENTHS_OF_PPM_PER_HUNDREDTH_PERCENT;
  if (targetPpmTenths > productPpmTenths) {
    throw new RangeError(`A product of ${productPpmTenths / 10} ppm cannot make a bath of ${targetPpmTenths / 10} ppm.`);
  }
  const productMl = Math.ceil((targetPpmTenths * totalMl) / productPpmTenths);
  return { productMl, waterMl: totalMl - productMl };
}

/** Where a mixture lies against the label, whose limits are still within; compared without any rounding. */
export function againstLabel(mixture: Mixture, leastPpmTenths: number, mostPpmTenths: number): "below" | "within" | "above" {
  const { active, total } = shares(mixture);
  if (!(active >= leastPpmTenths * total)) return "below";
  return active <= mostPpmTenths * total ? "within" : "above";
}

/** Active product and whole volume, so that active / total is the strength in tenths of a ppm. */
function shares({ strengthHundredths, productMl, waterMl }: Mixture): { active: number; total: number } {
  natural(strengthHundredths, "the product's strength");
  natural(productMl, "the volume of product");
  natural(waterMl, "the volume of water", 0);
  if (strengthHundredths > 10_000) throw new RangeError(`A product of ${strengthHundredths / 100} % is stronger than pure.`);
  return {
    active: strengthHundredths * TENTHS_OF_PPM_PER_HUNDREDTH_PERCENT * productMl,
    total: productMl + waterMl,
  };
}

function natural(n: number, what: string, least = 1): void {
  if (!Number.isSafeInteger(n) || n < least || n > 1_000_000) {
    throw new RangeError(`${n} will not do for ${what}: write a whole number from ${least} to 1000000.`);
  }
}
