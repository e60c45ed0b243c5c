"use client";
import { productNeeded } from "@hangrail/rules/disinfectant";
import { useState } from "react";
import { Button } from "../../../../components/button.tsx";
import { Field } from "../../../../components/field.tsx";
import { numberText, volumeText } from "../../../../format.ts";
import type { Product } from "./mix-form.tsx";
import { readVolume } from "./volume.ts";
import { VolumeField, type TypedVolume } from "./volume-field.tsx";

type Needed = { productMl: number; waterMl: number };

/** How much product a bath of some size needs. A proposal: what is recorded is what was measured. */
export function HowMuch({ product, onTake }: { product: Product; onTake: (needed: Needed) => void }) {
  const [target, setTarget] = useState(String(Math.round((product.minPpm + product.maxPpm) / 2)));
  const [total, setTotal] = useState<TypedVolume>({ text: "", unit: "l" });
  const volume = readVolume(total.text, total.unit);
  const ppm = /^\d{1,7}$/.test(target.trim()) ? Number(target) : null;
  const off = ppm === null ? "a whole number is needed." : ppm < product.minPpm || ppm > product.maxPpm ? `the label asks for ${numberText(product.minPpm)} to ${numberText(product.maxPpm)} ppm.` : null;
  const needed = ppm !== null && off === null && "ml" in volume ? amount(product, ppm, volume.ml) : null;
  return (
    <section className="sheet grid gap-4" aria-labelledby="how-much">
      <h2 id="how-much">How much do I need?</h2>
      <Field label="Strength wanted, ppm" inputMode="numeric" value={target} error={off} onChange={(event) => setTarget(event.target.value)} required maxLength={7} />
      <VolumeField label="Whole bath" name="whole" value={total} error={"wrong" in volume && total.text !== "" ? volume.wrong : null} onChange={setTotal} />
      <p role="status" className="text-xl">
        {needed === null ? "Give the size of the bath." : (
          <>
            <strong>{volumeText(needed.productMl)}</strong> of product and <strong>{volumeText(needed.waterMl)}</strong> of water.
          </>
        )}
      </p>
      {needed === null ? null : (
        <Button size="desk" onClick={() => onTake(needed)}>
          I measured exactly this
        </Button>
      )}
    </section>
  );
}

function amount(product: Product, ppm: number, totalMl: number): Needed | null {
  try {
    return productNeeded(product.strengthHundredths, ppm * 10, totalMl);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
