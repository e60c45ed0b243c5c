/** The wash room in wet gloves: a bath by volumes, a run by scan, too early, in time, clean. */
import { soilSet } from "@hangrail/db/acts";
import { done } from "../support/kit-room.ts";
import { expect, openLive, picture, scan, test } from "./walk.ts";

test.use({ scene: { readySets: 6 } });

test("from to clean to ready", async ({ as, centre }) => {
  test.setTimeout(120_000);
  const { room } = centre;
  const [one, two] = room.sets as [(typeof room.sets)[0], (typeof room.sets)[0]];
  for (const set of [one, two]) done(await soilSet(room.db, room.by("desk"), set.id, "breath-tested", "Tried at the counter"));
  const page = await as("wash-room");

  await test.step("a bath outside its label is no bath; within it, its strength is reckoned from the volumes", async () => {
    await openLive(page, "/wash-room/mix");
    await page.getByLabel("Label on the bath").fill("Green tub");
    await page.getByLabel("Product, measured").fill("20");
    await page.getByLabel("Water, measured").fill("9.98");
    await expect(page.getByRole("status").filter({ hasText: "Below the label: too weak" })).toBeVisible();
    await picture(page, "wash-mix-weak");
    await page.getByRole("button", { name: "Record this bath" }).click();
    await expect(page.getByRole("alert").filter({ hasText: "Not recorded" })).toBeVisible();
    await page.getByLabel("Product, measured").fill("100");
    await page.getByLabel("Water, measured").fill("9.9");
    await expect(page.getByRole("status").filter({ hasText: "Within the label" })).toContainText("500 ppm");
    await page.getByRole("button", { name: "Record this bath" }).click();
    await expect(page.getByText(/Green tub: 500 ppm of Klarin/)).toBeVisible();
  });

  await test.step("scan the bath, scan the sets, start", async () => {
    await openLive(page, "/wash-room/start");
    await scan(page, "GREEN TUB");
    await scan(page, one.tag);
    await scan(page, two.tag);
    await expect(page.getByText("Goes in")).toHaveCount(2);
    // A clean one does not go in, and says so at once.
    await scan(page, room.sets[2]!.tag);
    await expect(page.getByText(`${room.sets[2]!.tag} is clean already.`).first()).toBeVisible();
    await picture(page, "wash-start");
    await page.getByRole("button", { name: `Take ${room.sets[2]!.tag} off the list` }).click();
    await page.getByRole("button", { name: /^Start: 2 sets in Green tub, 10 min/ }).click();
    await expect(page.getByText(/2 sets in Green tub until/)).toBeVisible();
  });

  await test.step("too early: refused, with the time that is missing", async () => {
    await room.clock.advance(4);
    await openLive(page, "/wash-room");
    await picture(page, "wash-room-in-bath");
    await page.getByRole("button", { name: "Out of the bath" }).click();
    const refusal = page.getByRole("alert").filter({ hasText: "Not recorded" });
    await expect(refusal).toContainText(/\d/);
    await picture(page, "wash-too-early");
  });

  await test.step("in time, by scanning a set of the run once more", async () => {
    await room.clock.advance(7);
    // The second scan counts when it comes later than a scanner's own double read.
    await page.clock.install();
    await openLive(page, "/wash-room");
    await scan(page, one.tag);
    await expect(page.getByRole("region", { name: `Set ${one.tag}` })).toContainText("is in Green tub");
    await page.clock.fastForward(2_000);
    await scan(page, one.tag);
    await expect(page.getByText(/out of the bath\. Rinse/)).toBeVisible();
  });

  await test.step("not dry yet, then clean when all three are ticked", async () => {
    await page.getByRole("article", { name: /^Drying/ }).getByRole("button", { name: "Rinsed, purged and dry…" }).click();
    await page.getByRole("button", { name: "2 sets clean" }).click();
    await expect(page.getByRole("alert").filter({ hasText: "Rinse each set" })).toBeVisible();
    for (const step of ["Rinsed in drinking water", "Purged under pressure", "Dry, inside and out"]) await page.getByLabel(step).check();
    await page.getByRole("button", { name: "2 sets clean" }).click();
    await expect(page.getByRole("alert").filter({ hasText: "Too early" })).toBeVisible();
    await picture(page, "wash-finish");
    await room.clock.advance(31);
    await page.getByRole("button", { name: "2 sets clean" }).click();
    await expect(page.getByText(/clean\. Cap on/)).toBeVisible();
    await picture(page, "wash-done");
  });

  const desk = await as("desk");
  await openLive(desk, "/desk");
  await scan(desk, one.tag);
  await expect(desk.getByRole("region", { name: `Set ${one.tag}` })).toContainText("Ready");
});
