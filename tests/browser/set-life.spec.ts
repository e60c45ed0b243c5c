/** A set's life as a picture, its parts' readings, and its record on paper. */
import { expectAccessible, expectLargeTargets, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 2 } });

test("from the set to its line of time, narrowed by keyboard, with the same as a table", async ({ as, centre }) => {
  const set = centre.room.sets[0]!;
  const page = await as("desk");
  await openLive(page, `/sets/${set.tag}`);
  await page.getByRole("link", { name: "Life and readings" }).click();
  await expect(page.getByRole("heading", { level: 1 })).toContainText(set.tag);
  await expect(page.getByText(/serviced 1 time/)).toBeVisible();
  await page.getByRole("button", { name: "The last three months" }).focus();
  await page.keyboard.press("Enter");
  await expect(page.getByRole("button", { name: "The last three months" })).toHaveAttribute("aria-pressed", "true");
  await page.getByText("The numbers", { exact: true }).first().click();
  await expect(page.getByRole("table", { name: "Day by day, newest first" })).toContainText("washed clean");
  await expect(page.getByText("Too few tests since the last service to see a drift: 1 day of 6.").first()).toBeVisible();
});

for (const width of [1280, 360]) {
  test(`the life and the service record are accessible and fit at ${width} px`, async ({ as, centre }) => {
    const set = centre.room.sets[1]!;
    const page = await as("technician", { viewport: { width, height: width === 360 ? 740 : 900 } });
    for (const path of ["life", "record"]) {
      await openLive(page, `/sets/${set.tag}/${path}`);
      if (path === "life") await expect(page.locator(".chart svg").first()).toBeVisible();
      else await expect(page.getByText(set.tag).first()).toBeVisible();
      await picture(page, `set-${path}-${width}`);
      await expectAccessible(page);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
    }
  });
}
