/** At the bench: a fault put right, work recorded, a release by whoever may, and by nobody else. */
import { reportFault } from "@hangrail/db/bench-acts";
import { addPerson } from "@hangrail/db/people-acts";
import { done } from "../support/kit-room.ts";
import { secrets } from "../support/sign-in.ts";
import { expect, openLive, picture, scan, test } from "./walk.ts";

test.use({ scene: { readySets: 6 } });

test("what asks for work stands in the queue, and a set nobody asked anything of is found by its tag", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "desk", words: "Water with every breath" }));
  const page = await as("technician");
  await openLive(page, "/bench");
  const first = page.getByRole("region", { name: /^First: tagged out/ });
  await expect(first).toContainText(set.tag);
  await expect(first).toContainText("Water with every breath");
  await picture(page, "bench");
  await first.getByRole("link", { name: set.tag }).click();
  await expect(page.getByRole("heading", { name: "Work orders" })).toBeVisible();
  await picture(page, "bench-set");
  await openLive(page, "/bench");
  await scan(page, room.sets[5]!.tag);
  await expect(page.getByText("No work is asked for.")).toBeVisible();
});

test("a technician without the maker's authorisation may not release, and is told so before trying", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  await room.service([set]);
  await room.test([set]);
  const { staff } = done(await addPerson(room.db, room.by("manager"), { name: "Ulf Wren", login: "ulf", ...(await secrets()) }, ["technician"]));
  const page = await as({ staff });
  await openLive(page, "/bench");
  await expect(page.getByText("You are authorised for no maker today")).toBeVisible();
  await openLive(page, `/bench/${set.tag}`);
  await expect(page.getByText("It cannot be released yet:")).toBeVisible();
  await expect(page.getByText(/^You are not authorised for Tarnfell on/)).toBeVisible();
  await expect(page.getByRole("button", { name: /^Release/ })).toHaveCount(0);
  await picture(page, "bench-not-authorised");
});

test("a set serviced and not tested is not released; tested, it is, and goes to the wash room", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  const page = await as("technician");
  await openLive(page, `/bench/${set.tag}`);
  await page.getByLabel("What was checked").fill("9.5 bar at both supplies, no creep, 12 mbar, no leaks");
  // Somebody opens it while the form is being filled in.
  await room.service([set]);
  await page.getByRole("button", { name: `Release ${set.tag}` }).click();
  await expect(page.getByText("No bench test as left was passed since it was last opened, refitted or serviced. Test it.").first()).toBeVisible();
  await expect(page.getByRole("link", { name: "Test it on the bench" })).toBeVisible();
  await picture(page, "bench-not-tested");
  await room.test([set]);
  await openLive(page, `/bench/${set.tag}`);
  await page.getByLabel("What was checked").fill("9.5 bar at both supplies, no creep, 12 mbar, no leaks");
  await page.getByRole("button", { name: `Release ${set.tag}` }).click();
  await expect(page.getByText(`${set.tag} is released. It goes to the wash room.`)).toBeVisible();
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByText("To clean", { exact: true }).first()).toBeVisible();
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
  await room.test(sets);
  const page = await as("technician");
  await openLive(page, "/bench");
  const block = page.getByRole("region", { name: /^To release/ });
  for (const { tag } of sets) await block.getByRole("checkbox", { name: tag }).check();
  await block.getByLabel("What was checked").fill("Both at 9.5 bar, no creep");
  await block.getByRole("button", { name: "Release 2 sets" }).click();
  await expect(page.getByText(/released\. What is not clean/)).toBeVisible();
});
