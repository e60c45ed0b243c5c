import { expect, test } from "vitest";
import { pictureOf } from "./picture.ts";

test("a tablet keeps nobody's name of what the server tells of the wash room", () => {
  const at = "2026-06-01T08:00:00.000Z";
  const queue = {
    now: at,
    toClean: [{ setId: "s1", tag: "R-1", seq: 4, since: at, soiledBy: "taken-back", state: "to-clean" as const }],
    runs: [{ run: "r1", bath: "Green tub", product: "Klarin", startedAt: at, startedBy: "Wim Brook", wetUntil: at, wetEndedAt: null, dryAt: null, bathExpiresAt: at, wetMinutes: 10, sets: [{ setId: "s2", tag: "R-2", seq: 5 }] }],
    baths: [
      {
        id: "b1", label: "Green tub", product: "Klarin", productId: "p1", lot: "L-7", ppm: 500, productMl: 100, waterMl: 9_900, wetMinutes: 10,
        mixedAt: at, mixedBy: "Wim Brook", expiresAt: at, expired: false, strengthHundredths: 500, minPpm: 400, maxPpm: 600,
      },
    ],
  };
  const picture = pictureOf(queue, { id: "site", timeZone: "Europe/Malta" });
  expect(JSON.stringify(picture)).not.toContain("Wim");
  expect(picture).toEqual({
    siteId: "site",
    timeZone: "Europe/Malta",
    at,
    toClean: [{ setId: "s1", tag: "R-1", seq: 4 }],
    runs: [{ bath: "Green tub", isWet: true, sets: [{ setId: "s2", tag: "R-2", seq: 5 }] }],
    baths: [{ id: "b1", label: "Green tub", expiresAt: at, expired: false }],
  });
});
