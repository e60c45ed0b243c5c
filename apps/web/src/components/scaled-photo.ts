/** Photographs as they are sent: small enough to be looked at over a shop's network, and without what a camera adds about place and owner. */

/** The longer side of a photograph that is sent, in pixels. */
export const LONGEST_SIDE = 1600;
const MOST_BYTES = 1_500_000;
const MOST_FILE_BYTES = 60_000_000;
/** Tried one after the other until the picture is small enough. */
const QUALITIES = [0.85, 0.7, 0.5, 0.3];

export class UnusablePhoto extends Error {
  override readonly name = "UnusablePhoto";
}

/** The size of a picture whose longer side is at most `most`, in its own proportions; a smaller one stays as it is. */
export function fitWithin(width: number, height: number, most: number): { readonly width: number; readonly height: number } {
  const scale = Math.min(1, most / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/**
 * A picture file as a JPEG of at most 1600 px and 1.5 MB, in base64. Drawn anew, so nothing of the
 * file but its picture is sent.
 *
 * Errors: UnusablePhoto, with a sentence, for what is no picture this browser can read or is beyond all measure.
 */
export async function scaledPhoto(file: Blob): Promise<string> {
  if (file.size > MOST_FILE_BYTES) throw new UnusablePhoto("This file is larger than 60 MB. Take a smaller picture.");
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => null);
  if (picture === null) throw new UnusablePhoto("This file is no picture that this browser can read.");
  const { width, height } = fitWithin(picture.width, picture.height, LONGEST_SIDE);
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  canvas.getContext("2d")?.drawImage(picture, 0, 0, width, height);
  picture.close();
  for (const quality of QUALITIES) {
    const blob = await jpegOf(canvas, quality);
    if (blob !== null && blob.size <= MOST_BYTES) return base64Of(blob);
  }
  throw new UnusablePhoto("This picture could not be made small enough. Take another one.");
}

function jpegOf(canvas: HTMLCanvasElement, quality: number): Promise<Blob | null> {
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));
}

async function base64Of(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const step = 0x8000;
  let text = "";
  for (let at = 0; at < bytes.length; at += step) text += String.fromCharCode(...bytes.subarray(at, at + step));
  return btoa(text);
}
