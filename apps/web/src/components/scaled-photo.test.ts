import { expect, test } from "vitest";
import { fitWithin, LONGEST_SIDE, scaledPhoto, UnusablePhoto } from "./scaled-photo.ts";

test("a large picture is scaled to its longer side, in its own proportions; a small one stays", () => {
  expect(fitWithin(4000, 3000, LONGEST_SIDE)).toEqual({ width: 1600, height: 1200 });
  expect(fitWithin(3000, 4000, LONGEST_SIDE)).toEqual({ width: 1200, height: 1600 });
  expect(fitWithin(640, 480, LONGEST_SIDE)).toEqual({ width: 640, height: 480 });
  expect(fitWithin(100_000, 3, LONGEST_SIDE)).toEqual({ width: 1600, height: 1 });
});

test("a file beyond all measure is refused before it is read", async () => {
  await expect(scaledPhoto({ size: 60_000_001 } as Blob)).rejects.toThrow(UnusablePhoto);
});
