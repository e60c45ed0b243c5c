/** How much script a tablet really fetches for the desk, and whether it stands still. */
import { gzipSync } from "node:zlib";
import { expect, openLive, test } from "./walk.ts";

test.use({ scene: { readySets: 3 } });

const MOST_BYTES = 180_000;

test("the desk fetches at most 180 kB of script, packed, before the first scan", async ({ as }) => {
  const page = await as("desk");
  const scripts = new Map<string, Promise<number>>();
  page.on("response", (response) => {
    if (response.request().resourceType() === "script") scripts.set(response.url(), response.body().then((body) => gzipSync(body, { level: 9 }).byteLength));
  });
  await openLive(page, "/desk");
  const bytes = (await Promise.all(scripts.values())).reduce((sum, one) => sum + one, 0);
  console.log(`desk: ${scripts.size} scripts, ${Math.round(bytes / 1000)} kB`);
  for (const [url, weight] of scripts) console.log(url.slice(-40), await weight);
  expect(scripts.size).toBeGreaterThan(3);
  expect(bytes).toBeLessThanOrEqual(MOST_BYTES);
});

test("nothing moves under the finger while the desk is taken over", async ({ as }) => {
  const page = await as("desk");
  await page.addInitScript(() => {
    const seen = window as unknown as { shifted: number };
    seen.shifted = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) seen.shifted += (entry as unknown as { value: number }).value;
    }).observe({ type: "layout-shift", buffered: true });
  });
  await openLive(page, "/desk");
  const shifted = () => page.evaluate(() => (window as unknown as { shifted: number }).shifted);
  expect(await shifted()).toBeLessThan(0.1);
  // What is planted is seen: the measure measures.
  await page.evaluate(() => document.querySelector("main")!.insertAdjacentHTML("afterbegin", '<div style="height: 300px">planted</div>'));
  await expect.poll(shifted).toBeGreaterThan(0.1);
});
