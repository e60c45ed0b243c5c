/** A centre brought back from a backup: the manager is told at once, and lets out what was seen. */
import { expectAccessible, expectLargeTargets, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, scan, test } from "./walk.ts";

test.use({ scene: { readySets: 4 } });

test("what a restore holds is told on the first page, confirmed by scan and by count, and goes out again", async ({ as, centre, watch }) => {
  const first = centre.room.sets[0]!;
  await centre.database.ownerPool.query("SELECT mark_restored(now() - interval '9 hours', repeat('a', 64))");
  await centre.database.ownerPool.query("INSERT INTO backup_run (started_at, ended_at, scheduled, words) VALUES (kitroom_clock(), kitroom_clock(), true, 'The backup could not be written: the disk that holds /mnt/backup is full.')");

  const page = await as("manager");
  await openLive(page, "/today");
  await expect(page.getByText("4 sets of this site cannot go out until you have seen them", { exact: false })).toBeVisible();
  await expect(page.getByText("The last backup failed", { exact: true })).toBeVisible();
  await expect(page.getByText("the disk that holds /mnt/backup is full", { exact: false })).toBeVisible();
  for (const width of [1280, 360]) {
    await page.setViewportSize({ width, height: 900 });
    await expectAccessible(page);
    await expectLargeTargets(page);
    await expectNoSidewaysScroll(page);
    await picture(page, `today-after-restore-${width}`);
  }
  await page.setViewportSize({ width: 1280, height: 900 });

  await openLive(page, `/sets/${first.tag}`);
  await expect(page.getByText("Not seen since the restore", { exact: true }).first()).toBeVisible();

  await openLive(page, "/today");
  await page.getByRole("link", { name: "Confirm what you have seen" }).click();
  await expect(page.getByRole("heading", { level: 1, name: "After a restore" })).toBeVisible();
  await expect(page.getByRole("heading", { name: "4 sets still to be seen" })).toBeVisible();
  for (const width of [1280, 360]) {
    await page.setViewportSize({ width, height: 900 });
    await expectAccessible(page);
    await expectLargeTargets(page);
    await expectNoSidewaysScroll(page);
    await picture(page, `after-restore-${width}`);
  }
  await page.setViewportSize({ width: 1280, height: 900 });

  await scan(page, first.tag);
  await expect(page.getByText(`${first.tag} was seen.`)).toBeVisible();
  await expect(page.getByRole("heading", { name: "3 sets still to be seen" })).toBeVisible();
  watch.forgive(/status of 404.*restored\.confirm/);
  await scan(page, "NO-SUCH");
  await expect(page.getByText("NO-SUCH: There is no such set here.")).toBeVisible();

  await page.getByLabel("Sets counted").fill("2");
  await page.getByLabel("How you counted").fill("With Ana, rail and wash room");
  await page.getByRole("button", { name: "All of these were seen" }).click();
  await expect(page.getByText("You counted 2; by the record 3 sets wait here and are not out.", { exact: false })).toBeVisible();
  await page.getByLabel("Sets counted").fill("3");
  await page.getByRole("button", { name: "All of these were seen" }).click();
  await expect(page.getByText("Every set of this site was seen")).toBeVisible();

  await openLive(page, `/sets/${first.tag}`);
  await expect(page.getByRole("heading", { name: "Nothing holds it" })).toBeVisible();
});
