/** A notice from the printed page to the parts it holds, and a sealed set. */
import { reportFault } from "@hangrail/db/bench-acts";
import { done } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 4 } });

test("a notice is looked at, recorded, holds its set, and lets it go when the remedy is recorded", async ({ as, centre }) => {
  const set = centre.room.sets[0]!;
  const page = await as("technician");
  await openLive(page, "/notices");
  await expect(page.getByText("No notice is recorded.", { exact: false })).toBeVisible();
  await page.getByLabel("Title").fill("Seats may soften");
  await page.getByLabel("Its number or reference").fill("SN 12");
  await page.getByLabel("Hazard, as published").fill("Free flow at depth");
  await page.getByLabel("Remedy, as published").fill("Replace the seat");
  await page.getByLabel("Model", { exact: true }).selectOption({ label: "Tarnfell Beck 10" });
  await page.getByLabel("Serials").fill("FI000001 to GA000002");
  await page.getByRole("button", { name: "What would it hold?" }).click();
  await expect(page.getByText("“FI000001 to GA000002” has other letters at its two ends.")).toBeVisible();
  await page.getByLabel("Serials").fill("FI000001, FI0000020");
  await page.getByRole("button", { name: "What would it hold?" }).click();
  await expect(page.getByText("2 parts of 4 here")).toBeVisible();
  await picture(page, "notice-preview");
  await page.getByRole("button", { name: "Record the notice" }).click();
  await expect(page.getByText("Recorded: 2 parts matched, 2 sets held.")).toBeVisible();
  await page.getByRole("link", { name: "Open SN 12" }).click();
  await expect(page.getByRole("heading", { level: 1 })).toContainText("Seats may soften");
  await page.getByRole("button", { name: "Remedy done…" }).click();
  await page.getByLabel("Remedy done").fill("Seat of batch 9 fitted");
  await page.getByRole("button", { name: "Record it" }).click();
  await expect(page.getByText("Seat of batch 9 fitted", { exact: false })).toBeVisible();
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByRole("heading", { name: "Nothing holds it" })).toBeVisible();
});

test("a sealed set says what that means, is passed on in words, and the manager lifts the seal", async ({ as, centre }) => {
  const set = centre.room.sets[3]!;
  done(await reportFault(centre.room.db, centre.room.by("desk"), set.id, { code: "GN-03", severity: "out", component: null, where: "desk", words: "Diver taken to the chamber" }));
  const page = await as("manager");
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByText("Sealed as it is")).toBeVisible();
  await page.getByText("Note that it was passed on").click();
  await page.getByLabel("Who gave it").fill("Tove Stone");
  await page.getByLabel("Who took it").fill("Harbour police");
  await page.getByLabel("Where it lies now").fill("Station, room 4");
  await page.getByRole("button", { name: "Note it" }).click();
  await expect(page.getByText("Tove Stone to Harbour police", { exact: true })).toBeVisible();
  await page.getByText("Lift the seal", { exact: true }).click();
  await page.getByLabel("Who allowed it").fill("Prosecutor, letter 44");
  await page.getByLabel("Why").fill("Examined and given back");
  await page.getByRole("button", { name: "Lift the seal…" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Lift the seal" }).click();
  await expect(page.getByText(/allowed by Prosecutor, letter 44/).first()).toBeVisible();
  await expect(page.getByText("Sealed as it is")).toBeHidden();
});

for (const width of [1280, 360]) {
  test(`notices and evidence are accessible and fit at ${width} px`, async ({ as, centre }) => {
    const set = centre.room.sets[2]!;
    await reportFault(centre.room.db, centre.room.by("desk"), set.id, { code: "GN-03", severity: "out", component: null, where: "desk", words: "Used in an accident" });
    const page = await as("manager", { viewport: { width, height: width === 360 ? 740 : 900 } });
    for (const [path, name] of [["/notices", "notices"], [`/sets/${set.tag}`, "evidence"]] as const) {
      await openLive(page, path);
      await picture(page, `${name}-${width}`);
      await expectAccessible(page);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
    }
  });
}
