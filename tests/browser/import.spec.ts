/** A fleet sheet as it is found: bad cells named, open questions asked, recorded once. */
import { fileURLToPath } from "node:url";
import type { Page } from "@playwright/test";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 0 } });

const sheetFile = (name: string): string => fileURLToPath(new URL(`../support/sheets/${name}`, import.meta.url));

/** Answers what is asked, always with the first choice, until nothing is asked any more. */
async function answerAll(page: Page): Promise<number> {
  const questions = page.getByRole("form", { name: "Open questions" });
  const verdict = page.getByText(/Every cell is understood|Some things are for you to say|Not yet/);
  let asked = 0;
  for (;;) {
    await expect(verdict).toBeVisible();
    const check = questions.getByRole("button", { name: /^Check again with/ });
    if (!(await check.isVisible())) return asked;
    for (const group of await questions.getByRole("group").all()) {
      await group.getByRole("radio").first().check();
      asked += 1;
    }
    for (const list of await questions.getByRole("combobox").all()) {
      await list.selectOption({ index: 1 });
      asked += 1;
    }
    const before = await verdict.innerText();
    await check.click();
    await expect(questions.getByRole("radio", { checked: true })).toHaveCount(0);
    if (before === "Not yet") return asked;
  }
}

test("a sheet with bad cells: every one is named with its row, and nothing is recorded", async ({ as, centre }) => {
  const page = await as("manager");
  await openLive(page, "/fleet");
  await page.getByLabel("CSV file").setInputFiles(sheetFile("fleet-comma-bad-cells.csv"));
  await expect(page.getByRole("alert").filter({ hasText: "All or nothing" })).toBeVisible();
  const cells = page.getByRole("table", { name: /problems/ });
  await expect(cells.getByRole("row").filter({ hasText: "31/02/2026" })).toContainText("3");
  await expect(cells.getByRole("row").filter({ hasText: "approx 50" })).toBeVisible();
  await picture(page, "fleet-bad-cells");
  await expect(page.getByRole("button", { name: /^Record \d+ rows/ })).toBeHidden();
  const { rows } = await centre.database.ownerPool.query("SELECT FROM component");
  expect(rows).toHaveLength(0);
});

test("a sheet from a spreadsheet in another language: asked, answered, recorded; brought in again, nothing is new", async ({ as, centre }) => {
  const page = await as("manager");
  await openLive(page, "/fleet");
  const file = sheetFile("fleet-semicolon-windows-1252.csv");
  await page.getByLabel("CSV file").setInputFiles(file);
  expect(await answerAll(page)).toBeGreaterThan(0);
  await picture(page, "fleet-answered");
  await page.getByRole("button", { name: /^Record \d+ rows/ }).click();
  await expect(page.getByText(/\d+ rows recorded, \d+ new sets/)).toBeVisible();
  const parts = async () => (await centre.database.ownerPool.query<{ n: number }>("SELECT count(*)::int AS n FROM component")).rows[0]!.n;
  const recorded = await parts();
  expect(recorded).toBeGreaterThan(8);

  await openLive(page, "/fleet");
  await page.getByLabel("CSV file").setInputFiles(file);
  await answerAll(page);
  await expect(page.getByText("There is nothing in it that is not recorded already.")).toBeVisible();
  expect(await parts()).toBe(recorded);
});
