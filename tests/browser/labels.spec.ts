/** Labels for the tags of sets, printed at their true size; and the camera that reads them. */
import { openLive, expect, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 12 } });

const MM_TO_POINT = 72 / 25.4;

test("labels are printed one sheet a page, to the edge of their paper, and saved as drawings", async ({ as, centre }) => {
  const page = await as("desk");
  await openLive(page, "/sets/labels");
  await expect(page.getByRole("status").filter({ hasText: "labels on" })).toHaveText("12 labels on 1 sheet.");
  await page.getByLabel("First free label").fill("25");
  await expect(page.getByText("Enter a number from 1 to 24.")).toBeVisible();
  await page.getByLabel("First free label").fill("20");
  await expect(page.getByText("12 labels on 2 sheets.")).toBeVisible();
  await picture(page, "labels");

  const paper = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
  const sizes = [...paper.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/g)].map(([, width, height]) => [Number(width), Number(height)]);
  expect(sizes).toHaveLength(2);
  for (const [width, height] of sizes) {
    expect(Math.abs(width! - 210 * MM_TO_POINT)).toBeLessThan(1);
    expect(Math.abs(height! - 297 * MM_TO_POINT)).toBeLessThan(1);
  }

  const { tag } = centre.room.sets[3]!;
  await page.getByLabel("Which sets").fill(`${tag} Q-77`);
  await expect(page.getByRole("status").filter({ hasText: "1 label on" })).toHaveText("Not a set of this site: Q-77. 1 label on 1 sheet.");
  const saved = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save as drawings" }).click();
  expect((await saved).suggestedFilename()).toBe("labels-a4-24-1.svg");
});

test("the camera reads a label into the party, once for as long as it is held", async ({ as, centre }) => {
  const { tag } = centre.room.sets[0]!;
  const page = await as("desk");
  // The browser of the tests reads no codes: a camera that shows a plain picture, and a reader that sees what we say.
  await page.addInitScript(() => {
    const canvas = document.createElement("canvas");
    const pen = canvas.getContext("2d")!;
    // A stream of a picture that never changes gives no first frame, and a video without one never plays.
    let shade = 0;
    setInterval(() => {
      shade = (shade + 40) % 256;
      pen.fillStyle = `rgb(${shade} ${shade} ${shade})`;
      pen.fillRect(0, 0, canvas.width, canvas.height);
    }, 50);
    Object.defineProperty(navigator, "mediaDevices", { value: { getUserMedia: () => Promise.resolve(canvas.captureStream(5)) } });
    const seen = { code: null as string | null, looks: 0 };
    Object.assign(window, {
      seen,
      BarcodeDetector: class {
        detect() {
          seen.looks += 1;
          return Promise.resolve(seen.code === null ? [] : [{ rawValue: seen.code }]);
        }
      },
    });
  });
  await openLive(page, "/desk");
  await page.getByRole("button", { name: "Scan with the camera" }).click();
  await expect(page.getByLabel(/What the camera sees/)).toBeVisible();
  const show = (code: string | null) => page.evaluate((shown) => Object.assign((window as unknown as { seen: { code: string | null; looks: number } }).seen, { code: shown, looks: 0 }), code);
  const looks = () => page.evaluate(() => (window as unknown as { seen: { looks: number } }).seen.looks);
  await show(tag.toLowerCase());
  await expect(page.getByRole("region", { name: `Set ${tag}` })).toContainText("Ready");
  await show(tag.toLowerCase());
  await expect.poll(looks).toBeGreaterThan(3);
  await expect(page.getByRole("region", { name: `Set ${tag}` })).toHaveCount(1);
  await expect(page.getByText(/already/i)).toBeHidden();
  await page.getByRole("button", { name: "Scan with the camera" }).click();
  await expect(page.getByLabel(/What the camera sees/)).toBeHidden();
});

test("a camera that is not allowed is said, and typing goes on", async ({ as, centre }) => {
  const { tag } = centre.room.sets[1]!;
  const page = await as("desk");
  await page.addInitScript(() => {
    Object.defineProperty(navigator, "mediaDevices", { value: { getUserMedia: () => Promise.reject(new DOMException("no", "NotAllowedError")) } });
    Object.assign(window, { BarcodeDetector: class {} });
  });
  await openLive(page, "/desk");
  await page.getByRole("button", { name: "Scan with the camera" }).click();
  await expect(page.getByText("The browser may not use the camera.")).toBeVisible();
  await page.getByRole("search").getByRole("textbox").fill(tag);
  await page.keyboard.press("Enter");
  await expect(page.getByRole("region", { name: `Set ${tag}` })).toContainText("Ready");
});
