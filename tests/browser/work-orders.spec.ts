/** Work orders on the screens: from the queue to the bench, laid aside, done, released; faults with photographs. */
import { addPhoto, reportFault } from "@hangrail/db/bench-acts";
import type { Page } from "@playwright/test";
import { done } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll, walkByTab } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 10 } });

async function expectWellMade(page: Page, name: string): Promise<void> {
  for (const width of [1280, 360]) {
    await page.setViewportSize({ width, height: 800 });
    await picture(page, `${name}-${width}`);
    await expectNoSidewaysScroll(page);
    await expectLargeTargets(page);
    await expectNothingCut(page);
    await expectAccessible(page);
  }
  await page.setViewportSize({ width: 1280, height: 900 });
}

test("a fault goes from the queue over the bench to the release, and every screen says where the set is", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "GN-04", severity: "out", component: null, where: "boat", words: "Water with every breath" }));
  const board = await as("manager");
  await openLive(board, `/sets/${set.tag}`);
  const page = await as("technician");
  await openLive(page, "/bench");
  await expectWellMade(page, "bench-queue");
  await page.getByRole("button", { name: `Repair of ${set.tag}: to the bench` }).click();

  await expect(page.getByRole("heading", { name: "Why it is here" })).toBeVisible();
  await expect(page.getByText("Water with every breath")).toBeVisible();
  // Nobody told the manager's screen but the act itself.
  await expect(board.getByText("On the bench", { exact: true }).first()).toBeVisible();
  await expectWellMade(page, "work-order-taken");

  await page.getByRole("button", { name: "Record what you found…" }).click();
  await page.getByLabel("Found on").selectOption({ index: 2 });
  await page.getByLabel("What it is").selectOption("SS-08");
  await page.getByLabel("In your words").fill("Exhaust valve out of its seat");
  await page.getByRole("button", { name: "Record what I found" }).click();
  await expect(page.getByText("Tove Stone found:")).toBeVisible();

  await page.getByLabel("Minutes at the bench").fill("25");
  await page.getByLabel("What was done, in words").fill("Valve seated");
  await page.getByRole("button", { name: "The work is done" }).click();
  await expect(page.getByText("The order cannot be done yet: its fault is still open.")).toBeVisible();

  await page.getByRole("button", { name: "Mended, or not found…" }).click();
  await page.getByLabel("Mended", { exact: true }).check();
  await page.getByLabel("What was done", { exact: true }).fill("Exhaust valve seated, diaphragm looked at");
  await page.getByRole("group", { name: "Was the set taken apart for it?" }).getByLabel("Yes").check();
  await page.getByRole("button", { name: "Clear GN-04" }).click();
  await expect(page.getByText("Exhaust valve seated, diaphragm looked at")).toBeVisible();
  await page.getByRole("button", { name: "The work is done" }).click();
  await expect(page.getByText(`The order is done. ${set.tag} is off the bench`)).toBeVisible();
  await expect(page.getByText("No bench test as left was passed")).toBeVisible();
  await expectWellMade(page, "work-order-done");

  await room.test([set]);
  await page.reload();
  await page.getByLabel("What was checked").fill("Passed");
  await page.getByRole("button", { name: `Release ${set.tag}` }).click();
  await expect(page.getByText(`${set.tag} is released. It goes to the wash room.`)).toBeVisible();
  await expect(board.getByText("To clean", { exact: true }).first()).toBeVisible();
});

test("an order is laid aside until parts come, taken up again, and given up", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-07", severity: "hold", component: set.parts.primary, where: "wash-room", words: "" }));
  const page = await as("technician");
  await openLive(page, "/bench");
  await page.getByRole("button", { name: `Repair of ${set.tag}: to the bench` }).click();
  await page.getByRole("button", { name: "Lay aside until parts come…" }).click();
  await page.getByLabel("What is it waiting for?").fill("Two mouthpieces");
  await page.getByRole("button", { name: "Lay it aside" }).click();
  await expect(page.getByText(`${set.tag} is laid aside and waits for parts.`)).toBeVisible();
  await expect(page.getByText("Awaiting parts", { exact: true })).toBeVisible();
  await openLive(page, "/bench");
  await expect(page.getByRole("region", { name: /^Awaiting parts: 1 order/ })).toContainText("Waits for: Two mouthpieces");
  await page.getByRole("region", { name: /^Awaiting parts/ }).getByRole("link", { name: "Go on with it" }).click();
  await page.getByRole("button", { name: "The parts are here: go on" }).click();
  await expect(page.getByText(`${set.tag} is on the bench again.`)).toBeVisible();
  await page.getByRole("button", { name: "Give the order up…" }).click();
  await page.getByLabel("Why", { exact: true }).fill("The set is retired instead");
  await page.getByRole("button", { name: "Give it up" }).click();
  await expect(page.getByText("The order is given up.")).toBeVisible();
  await openLive(page, "/bench");
  await expect(page.getByRole("region", { name: /^Held until the work is done/ })).toContainText(set.tag);
});

test("bedding checks that are due are recorded in three presses", async ({ as, centre }) => {
  const { room, database } = centre;
  const set = room.sets[2]!;
  await database.ownerPool.query("UPDATE component SET dives_total = 12 WHERE id = ANY ($1)", [[set.parts["first-stage"], set.parts.primary]]);
  const page = await as("technician");
  await openLive(page, "/bench");
  const block = page.getByRole("region", { name: /^Bedding checks due: 1 set/ });
  await expect(block).toContainText("irst stage");
  await block.getByRole("button", { name: `Record the bedding check of ${set.tag}` }).click();
  await block.getByLabel("As found").fill("9.5 bar, no creep, 12 mbar");
  await block.getByRole("button", { name: `Record the bedding check of ${set.tag}` }).click();
  await expect(page.getByText(`${set.tag}: bedding check of 2 components recorded.`)).toBeVisible();
  await expect(page.getByText("No bedding check is due.")).toBeVisible();
});

test("a fault is reported from the desk in three presses, with a photograph made small before it is sent", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[3]!;
  const page = await as("desk");
  await openLive(page, `/desk?sets=${set.tag}`);
  await page.getByRole("link", { name: "Report a fault" }).click();
  await page.getByRole("button", { name: /primary second stage/i }).click();
  await page.getByRole("button", { name: /^Hard to breathe in/ }).click();
  await expect(page.getByText("Recorded", { exact: true })).toBeVisible();

  const large = await page.evaluate(() => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [3000, 2000];
    const brush = canvas.getContext("2d")!;
    for (let x = 0; x < 3000; x += 50) {
      brush.fillStyle = `hsl(${x % 360} 60% 50%)`;
      brush.fillRect(x, 0, 50, 2000);
    }
    return canvas.toDataURL("image/png").split(",")[1]!;
  });
  await page.getByLabel("A photograph of it").setInputFiles({ name: "set.png", mimeType: "image/png", buffer: Buffer.from(large, "base64") });
  await expect(page.getByText("The photograph is added.")).toBeVisible();
  await expectWellMade(page, "report-photo");

  await page.getByLabel("A photograph of it").setInputFiles({ name: "words.txt", mimeType: "text/plain", buffer: Buffer.from("no picture") });
  await expect(page.getByText("This file is no picture that this browser can read.")).toBeVisible();

  await openLive(page, `/sets/${set.tag}`);
  const shown = page.getByRole("img", { name: "Photograph 1 of SS-03" });
  await expect(shown).toBeVisible();
  await expect.poll(() => shown.evaluate((image: HTMLImageElement) => [image.naturalWidth, image.naturalHeight])).toEqual([1600, 1067]);
  await picture(page, "set-with-photograph");

  const address = (await shown.getAttribute("src"))!;
  const mine = await page.request.get(address);
  expect(mine.status()).toBe(200);
  expect(mine.headers()).toMatchObject({ "content-type": "image/jpeg", "x-content-type-options": "nosniff", "cache-control": expect.stringContaining("no-store") as unknown });
  const strangers = await (await as("nobody")).request.get(address);
  expect(strangers.status()).toBe(404);
  expect((await page.request.get("/api/photos/not-an-id")).status()).toBe(404);
});

test("the manager takes a line more seriously, and the next report says so", async ({ as, centre }) => {
  const set = centre.room.sets[4]!;
  const manager = await as("manager");
  await openLive(manager, "/centre/faults");
  await expect(manager.getByRole("button", { name: "Change SS-02" })).toHaveCount(0);
  await manager.getByRole("button", { name: "Change SS-05" }).click();
  await manager.getByLabel(/^Hold:/).check();
  await manager.getByRole("button", { name: "Record it" }).click();
  await expect(manager.getByText("The list says: watch.")).toBeVisible();
  await expectWellMade(manager, "fault-list");

  const page = await as("wash-room");
  await openLive(page, `/bench/report?tag=${set.tag}&where=wash-room`);
  await page.getByRole("button", { name: /primary second stage/i }).click();
  await page.getByRole("button", { name: /^Hums or shudders/ }).click();
  await expect(page.getByText("held until it is put right and checked")).toBeVisible();
});

test("by keyboard alone a set is taken to the bench", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[5]!;
  const { fault } = done(await reportFault(room.db, room.by("desk"), set.id, { code: "HO-01", severity: "out", component: null, where: "desk", words: "" }));
  done(await addPhoto(room.db, room.by("desk"), fault, "image/jpeg", Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0])));
  const page = await as("technician");
  await openLive(page, "/bench");
  await walkByTab(page);
  await page.getByRole("button", { name: `Repair of ${set.tag}: to the bench` }).focus();
  await page.keyboard.press("Enter");
  await expect(page.getByRole("heading", { name: "On the bench" })).toBeVisible();
  await walkByTab(page);
});
