/** Whether the desk stands still while its script takes it over. */
import { expect, openLive, test } from "./walk.ts";

test.use({ scene: { readySets: 3 } });

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
