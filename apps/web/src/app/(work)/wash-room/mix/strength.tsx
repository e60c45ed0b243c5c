import { againstLabel, ppmTenths } from "@hangrail/rules/disinfectant";
import { Icon } from "../../../../components/icon.tsx";
import { numberText, strengthText, volumeText } from "../../../../format.ts";
import type { Product } from "./mix-form.tsx";

/** What a mixture comes to and where it lies against the label; null when it is no mixture. */
export function judgeMix(product: Product, productMl: number, waterMl: number): { is: "below" | "within" | "above"; ppmTenths: number } | null {
  const mixture = { strengthHundredths: product.strengthHundredths, productMl, waterMl };
  try {
    return { is: againstLabel(mixture, product.minPpm * 10, product.maxPpm * 10), ppmTenths: ppmTenths(mixture) };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

const looks = {
  below: { word: "Below the label: too weak", icon: "octagon", tone: "stop", advice: "Add product, or use less water." },
  within: { word: "Within the label", icon: "tick", tone: "ready", advice: null },
  above: { word: "Above the label: too strong", icon: "octagon", tone: "stop", advice: "Add water, or use less product." },
} as const;

type StrengthProps = { product: Product; productMl: number | null; waterMl: number | null };

/** The strength of the two volumes, live, in both units, against the label's range. */
export function Strength({ product, productMl, waterMl }: StrengthProps) {
  const label = `The label asks for ${numberText(product.minPpm)} to ${numberText(product.maxPpm)} ppm (${product.minPpm / 10_000} to ${product.maxPpm / 10_000} %).`;
  const found = productMl === null || waterMl === null ? null : judgeMix(product, productMl, waterMl);
  if (found === null || productMl === null || waterMl === null) {
    return (
      <p role="status" className="tinted rounded-xl p-4" data-tone="rest">
        The strength stands here as soon as both volumes do. {label}
      </p>
    );
  }
  const { word, icon, tone, advice } = looks[found.is];
  return (
    <div role="status" className="tinted flex gap-3 rounded-xl p-4" data-tone={tone}>
      <Icon name={icon} size={40} />
      <div className="min-w-0">
        <p className="text-xl font-bold">{word}</p>
        <p className="text-xl">{strengthText(found.ppmTenths)}</p>
        <p>
          {volumeText(productMl)} of {product.strengthHundredths / 100} % product in {volumeText(productMl + waterMl)} of bath. {label} {advice}
        </p>
      </div>
    </div>
  );
}
