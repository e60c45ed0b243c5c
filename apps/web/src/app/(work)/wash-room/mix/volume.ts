/** Volumes as people write them, in whole millilitres. */
export type VolumeUnit = "ml" | "l";

export type Volume = { ml: number } | { wrong: string };

/**
 * "2.5" litres → 2 500 ml. A comma is a decimal comma; "1,500" could be read two ways
 * and is asked back. Finer than a millilitre is refused, for nobody measures it.
 */
export function readVolume(text: string, unit: VolumeUnit): Volume {
  const tidy = text.trim();
  if (tidy === "") return { wrong: "a volume is needed." };
  if (/^[1-9]\d{0,2}[.,]\d{3}$/.test(tidy)) return { wrong: `"${tidy}" can be read two ways. Write it without a comma or point, in ml.` };
  const match = /^(\d{1,7})(?:[.,](\d{1,3}))?$/.exec(tidy);
  if (match === null) return { wrong: `"${tidy}" is not a volume. Write digits, such as 250 or 2.5.` };
  const [, whole = "", part = ""] = match;
  if (unit === "ml") return part === "" ? { ml: Number(whole) } : { wrong: "write whole millilitres." };
  return { ml: Number(whole) * 1000 + Number(part.padEnd(3, "0")) };
}

/** A volume as it would be typed. */
export function typedVolume(ml: number): { text: string; unit: VolumeUnit } {
  return ml >= 1000 && ml % 10 === 0 ? { text: String(ml / 1000), unit: "l" } : { text: String(ml), unit: "ml" };
}
