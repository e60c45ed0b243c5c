/** At the bench: a fault put right, work recorded, a release by whoever may, and by nobody else. */
import { reportFault } from "@hangrail/db/bench-acts";
import { addPerson } from "@hangrail/db/people-acts";
import { done } from "../support/kit-room.ts";
import { secrets } from "../support/sign-in.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 6 } });

test("a fault is cleared with an opening, serviced, released; the set goes to the wash room", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "desk", words: "Water with every breath" }));
  const page = await as("technician");
  await openLive(page, "/bench");
  await expect(page.getByRole("region", { name: /^Tagged out: 1 set/ })).toContainText(set.tag);
  await picture(page, "bench");
  await page.getByRole("region", { name: /^Tagged out/ }).getByRole("link", { name: set.tag }).click();
  await expect(page.getByText("Water with every breath")).toBeVisible();
  await picture(page, "bench-set");

  await page.getByRole("button", { name: "Clear SS-02…" }).click();
  await page.getByRole("button", { name: "Clear SS-02", exact: true }).click();
  await page.getByLabel("Mended").check();
  await page.getByLabel("What was done").fill("Exhaust valve renewed");
  await page.getByRole("group", { name: "Was the set taken apart for it?" }).getByLabel("Yes").check();
  await page.getByRole("button", { name: "Clear SS-02", exact: true }).click();
  await expect(page.getByText("SS-02 is cleared.")).toBeVisible();

  await page.getByLabel("Service", { exact: true }).check();
  await page.getByRole("button", { name: "Tick all 4" }).click();
  await page.getByLabel("In words").fill("Kit 4411, lot 7; 9.5 bar, 12 mbar, gauge T-2");
  await page.getByRole("button", { name: "Record this service" }).click();
  await expect(page.getByText("Service of 4 components is recorded. Now test and release.")).toBeVisible();
  await picture(page, "bench-serviced");

  await page.getByLabel("What was checked").fill("9.5 bar at both supplies, no creep, 12 mbar, no leaks");
  await page.getByRole("button", { name: `Release ${set.tag}` }).click();
  await expect(page.getByText(`${set.tag} is released. It goes to the wash room.`)).toBeVisible();
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByText("To clean", { exact: true }).first()).toBeVisible();
});

test("a technician without the maker's authorisation may neither service nor release, and is told so", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  await room.service([set]);
  const { staff } = done(await addPerson(room.db, room.by("manager"), { name: "Ulf Wren", login: "ulf", ...(await secrets()) }, ["technician"]));
  const page = await as({ staff });
  await openLive(page, "/bench");
  await expect(page.getByText("You are authorised for no maker today")).toBeVisible();
  await openLive(page, `/bench/${set.tag}`);
  await expect(page.getByText("Not yours to release today")).toBeVisible();
  await page.getByLabel("What was checked").fill("Looks fine to me");
  await page.getByRole("button", { name: `Release ${set.tag}` }).click();
  await expect(page.getByRole("alert").filter({ hasText: "Not recorded" })).toContainText(/authorised/i);
  await picture(page, "bench-not-authorised");
  const { rows } = await centre.database.ownerPool.query("SELECT FROM regulator_set WHERE id = $1 AND released_seq > unreleased_seq", [set.id]);
  expect(rows).toHaveLength(0);
});

test("whoever finds a fault reports it in three presses, also from a boat", async ({ as, centre }) => {
  const set = centre.room.sets[2]!;
  const page = await as("wash-room");
  await openLive(page, "/bench/report?where=wash-room");
  await page.getByRole("textbox", { name: "First: scan or type the set" }).fill(set.tag);
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: /second stage primary|primary/i }).first().click();
  await picture(page, "bench-report");
  await page.getByRole("listitem").getByRole("button").first().click();
  await expect(page.getByText("Recorded", { exact: true })).toBeVisible();
  const { rows } = await centre.database.ownerPool.query("SELECT FROM fault WHERE set_id = $1 AND cleared_at IS NULL", [set.id]);
  expect(rows).toHaveLength(1);
});

test("sets ticked together are released together", async ({ as, centre }) => {
  const { room } = centre;
  const sets = room.sets.slice(3, 5);
  await room.service(sets);
  const page = await as("technician");
  await openLive(page, "/bench");
  const block = page.getByRole("region", { name: /^To release/ });
  for (const { tag } of sets) await block.getByRole("checkbox", { name: tag }).check();
  await block.getByLabel("What was checked").fill("Both at 9.5 bar, no creep");
  await block.getByRole("button", { name: "Release 2 sets" }).click();
  await expect(page.getByText(/released\. What is not clean/)).toBeVisible();
});
