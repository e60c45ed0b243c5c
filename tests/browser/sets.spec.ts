/** Every set of the fleet: found, filtered, sorted, and each with its life. */
import { retireSet } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import { done } from "../support/kit-room.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 54 } });

test("filter, sort, search and page stand in the address and survive a reload", async ({ as, centre }) => {
  const { room } = centre;
  for (const set of room.sets.slice(0, 3)) done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "desk", words: "Wet" }));
  const page = await as("manager");
  await openLive(page, "/sets");
  const table = page.getByRole("table");
  const tags = () => table.getByRole("rowheader");
  await expect(tags()).toHaveCount(50);
  await page.getByRole("button", { name: "Further" }).click();
  await expect(page.getByText("Page 2 of 2, 54 in all")).toBeVisible();
  await expect(tags()).toHaveCount(4);
  await page.reload();
  await expect(page.getByText("Page 2 of 2, 54 in all")).toBeVisible();
  await page.goBack();
  await expect(tags()).toHaveCount(50);

  await table.getByRole("button", { name: "Set", exact: true }).click();
  // By tag from the beginning, so the first press turns it round.
  await expect(table.getByRole("columnheader", { name: "Set", exact: true })).toHaveAttribute("aria-sort", "descending");
  await page.reload();
  await expect(table.getByRole("columnheader", { name: "Set", exact: true })).toHaveAttribute("aria-sort", "descending");

  await page.getByRole("button", { name: /^Tagged out/ }).click();
  await expect(tags()).toHaveCount(3);
  await picture(page, "sets-tagged-out");
  await page.reload();
  await expect(tags()).toHaveCount(3);
  await expect(page.getByRole("button", { name: /^Tagged out/ })).toHaveAttribute("aria-pressed", "true");

  await page.getByRole("button", { name: "Show every set" }).click();
  await page.getByRole("searchbox").fill("FI000017");
  await page.keyboard.press("Enter");
  await expect(tags()).toHaveCount(1);
  await expect(tags()).toContainText("R-017");
  await page.reload();
  await expect(tags()).toHaveCount(1);
  await page.getByRole("searchbox").fill("no such thing");
  await page.keyboard.press("Enter");
  await expect(page.getByText("No set fits this filter.")).toBeVisible();
});

test("a set's page shows its parts, what falls due and its whole life, and follows what happens", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[20]!;
  const page = await as("desk");
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByRole("heading", { level: 1 })).toContainText(set.tag);
  await expect(page.getByRole("heading", { name: "Nothing holds it" })).toBeVisible();
  await expect(page.getByText("FI000021").first()).toBeVisible();
  const life = page.getByRole("region", { name: "Its life so far" });
  // Registered, four services and releases, a wash: from its beginning.
  await expect(life.getByRole("listitem").first()).toContainText(/clean/i);
  await expect(life).toContainText("That is its beginning.");
  await expect(life.getByRole("listitem").last()).toContainText(/registered/i);
  await picture(page, "set-page");
  done(await reportFault(room.db, room.by("wash-room"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "wash-room", words: "Torn mouthpiece" }));
  await expect(page.getByText("Tagged out", { exact: true }).first()).toBeVisible();
  await expect(life.getByRole("listitem").first()).toContainText("Wim Brook");
  await picture(page, "set-page-tagged-out");
  const paper = await page.pdf({ format: "A4", tagged: true });
  expect(paper.subarray(0, 5).toString()).toBe("%PDF-");
});

test("another's tag, or none, is answered in words", async ({ as, watch }) => {
  watch.forgive(/status of 404.*sets\.one/);
  const page = await as("desk");
  await page.goto("/sets/NO-SUCH-SET");
  await expect(page.getByRole("alert").filter({ hasText: "There is no set NO-SUCH-SET at Harbour Dive Centre." })).toBeVisible();
  await picture(page, "set-none");
});

test("out of service: why, who clears it, since when", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[30]!;
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: set.parts.alternate, where: "boat", words: "Free flow" }));
  done(await retireSet(room.db, room.by("manager"), room.sets[31]!.id, "Dropped from the pier"));
  const page = await as("technician");
  await openLive(page, "/sets/out-of-service");
  const row = page.getByRole("row").filter({ hasText: set.tag });
  await expect(row).toContainText("Open fault");
  await expect(row).toContainText("technician");
  await expect(row).toContainText("today");
  // Retired is not out of service: it does not come back.
  await expect(page.getByRole("row").filter({ hasText: room.sets[31]!.tag })).toHaveCount(0);
  await picture(page, "out-of-service");
  await row.getByRole("link", { name: /To the bench/ }).click();
  await expect(page).toHaveURL(new RegExp(`/bench/${set.tag}$`));
});
