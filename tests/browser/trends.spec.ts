/** Figures at the screen: a sentence before each picture, the numbers behind it as a table, and the faults behind the numbers. */
import { handOut, takeBack } from "@hangrail/db/acts";
import { acceptBuild, clearFault, reportFault, setModelMoney, setMoney } from "@hangrail/db/bench-acts";
import type { Page } from "@playwright/test";
import { aHire, backDry, done, type KitRoom } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 4 } });

/** Some dives of every set, and a fault that was mended. Once a room. */
async function playSomeDays(room: KitRoom & { readonly sets: readonly { readonly id: string; readonly parts: Readonly<Record<"primary", string>> }[] }): Promise<void> {
  const { rows } = await room.db.reads.query("SELECT FROM fault");
  if (rows.length > 0) return;
  const today = await room.today();
  for (const set of room.sets) {
    done(await handOut(room.db, room.by("desk"), aHire(today, { dives: 3, minutes: 120 }), await room.seen([set])));
    done(await takeBack(room.db, room.by("desk"), [backDry(set.id, { dives: 3, minutes: 120, waterKind: "sea" })]));
  }
  const set = room.sets[0]!;
  const { fault } = done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-03", severity: "out", component: set.parts.primary, where: "desk", words: "Like sucking through a straw" }));
  done(await clearFault(room.db, room.by("technician"), fault, "mended", "Lever set anew", false));
  done(await acceptBuild(room.db, room.by("technician"), room.models.first, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 15, page: "Page 2" }));
}

/** The room's parts as if they had been fitted three years ago and bought then. */
async function spendThreeYears(room: KitRoom): Promise<void> {
  const { ownerPool } = room.database;
  // History stands, for its owner too.
  await ownerPool.query("ALTER TABLE fitting DISABLE TRIGGER USER");
  await ownerPool.query("UPDATE fitting SET from_at = from_at - interval '3 years'");
  await ownerPool.query("ALTER TABLE fitting ENABLE TRIGGER USER");
  await ownerPool.query("UPDATE component SET bought_on = bought_on - interval '3 years', in_use_on = in_use_on - interval '3 years'");
}

const chart = (page: Page) => page.locator(".chart svg.recharts-surface").first();

test("from the sentence to the numbers to the fault behind them, by keyboard", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("manager");
  await openLive(page, "/trends");
  await expect(page.getByText(/No model fails more often than the others beyond what chance would do among 3 models/)).toBeVisible();
  await expect(chart(page)).toBeVisible();
  await page.getByText("The numbers", { exact: true }).focus();
  await page.keyboard.press("Enter");
  const row = page.getByRole("row", { name: /Tarnfell Beck S/ });
  await expect(row).toContainText("24");
  await expect(row).toContainText("Too little to tell");
  await picture(page, "trends-models");
  await row.getByRole("link", { name: "The faults of Tarnfell Beck S" }).focus();
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/\/trends\/faults\?/);
  await expect(page.getByRole("row", { name: /R-001/ })).toContainText("Like sucking through a straw");
  await expect(page.getByRole("row", { name: /R-001/ })).toContainText("mended");
});

test("a question stands in the address: asked on one page, kept on the next and after a reload", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("technician");
  await openLive(page, "/trends");
  await page.getByLabel("Faults counted").selectOption("reported");
  await page.getByText("Only some parts, water or faults").click();
  await page.getByLabel("Kind of part").selectOption("gauge");
  await expect(page.getByText(/There is|No kind|No model/).first()).toBeVisible();
  await page.getByRole("navigation", { name: "Trends" }).getByRole("link", { name: "Month by month" }).click();
  await expect(page).toHaveURL(/\/trends\/months\?.*kind=gauge/);
  await page.reload();
  await expect(page.getByLabel("Kind of part")).toHaveValue("gauge");
  await expect(page.getByLabel("Faults counted")).toHaveValue("reported");
});

test("costs name what nobody entered, and are reckoned at once when the manager enters it", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("manager");
  await openLive(page, "/trends/costs");
  const row = page.getByRole("table", { name: /^What one of each model costs/ }).getByRole("row", { name: /Tarnfell Beck 10/ });
  const replaced = page.getByRole("table", { name: "When to replace one of each model" }).getByRole("row", { name: /Tarnfell Beck 10/ });
  await expect(replaced).toContainText("Too little entered to tell. Not known: purchase price, what it sells for, years of life and a bench hour.");
  await expect(row).toContainText("Not known: purchase price, what it sells for, years of life and a bench hour.");
  await page.getByLabel("A bench hour costs").fill("forty");
  await page.getByRole("button", { name: "Keep the site's figures" }).click();
  await expect(page.getByText("Write an amount such as 38.00, or leave it empty if nobody knows it.")).toBeVisible();
  await page.getByLabel("A bench hour costs").fill("40,00");
  await page.getByRole("button", { name: "Keep the site's figures" }).click();
  await expect(page.getByText("Kept.")).toBeVisible();
  const behind = page.getByRole("region", { name: "The figures behind it" });
  await behind.getByLabel("Purchase price in EUR").fill("300");
  await behind.getByLabel("What it sells for at the end in EUR").fill("60");
  await behind.getByLabel("Years it is kept").fill("8");
  await page.getByRole("button", { name: "Keep the figures of Tarnfell Beck 10" }).click();
  await expect(row).toContainText(/\d+\.\d\d/);
  await expect(replaced).toContainText("Too little to tell: no part of a known age has been in use here for a year.");
  await picture(page, "trends-costs");
  await expect(page.getByText(/The cost of Tarnfell Beck 10 hangs most on its|Not reckoned/).first()).toBeVisible();
});

test("the year to replace is told with what it rests on, the years as a table, and the way to the faults and sets", async ({ as, centre }) => {
  const { room } = centre;
  await playSomeDays(room);
  await spendThreeYears(room);
  const manager = room.by("manager");
  done(await setMoney(room.db, manager, { currency: "EUR", benchHourCents: 4_000, hireCents: null, interestPermille: 0 }));
  done(await setModelMoney(room.db, manager, room.models.first, { priceCents: 30_000, resaleCents: 6_000, lifeYears: 8 }));
  const page = await as("manager");
  await openLive(page, "/trends/costs");
  await expect(page.getByRole("table", { name: "When to replace one of each model" }).getByRole("row", { name: /Tarnfell Beck 10/ })).toContainText(/Keep it: of the \d years of age watched here the last is the cheapest/);
  const years = page.getByRole("region", { name: "What one Tarnfell Beck 10 costs a year, by how long it is kept" });
  await expect(years).toContainText("It does not count a dive that was spoilt");
  await expect(years.locator("svg.recharts-surface")).toBeVisible();
  await years.getByText("The numbers", { exact: true }).focus();
  await page.keyboard.press("Enter");
  await expect(years.getByRole("row", { name: /^2 years/ })).toContainText(/\d+\.\d\d EUR/);
  await picture(page, "trends-year-to-replace");
  await expectAccessible(page);
  await years.getByRole("link", { name: "Its sets" }).focus();
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/\/sets\?model=/);
  await expect(page.getByRole("row", { name: /R-001/ })).toBeVisible();
});

test("a bar opens the faults behind it, and one code asked for elsewhere does not narrow the codes", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("manager");
  await openLive(page, "/trends/codes?code=FS-05");
  await expect(page.getByText(/SS-03 .* makes up 100 % of 1 fault/)).toBeVisible();
  await page.locator(".recharts-bar-rectangle").first().click();
  await expect(page).toHaveURL(/\/trends\/faults\?.*code=SS-03/);
  await expect(page.getByRole("row", { name: /R-001/ })).toContainText("Like sucking through a straw");
});

test("two models, one of them not owned yet, are compared over the years as figures are typed", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("manager");
  await openLive(page, "/trends/costs");
  for (const letter of ["A", "B"]) {
    const side = page.getByRole("group", { name: `Model ${letter}` });
    await side.getByLabel("Which").selectOption({ label: "one not owned yet" });
    const figures: readonly (readonly [string, string])[] = [
      ["purchase price in EUR", letter === "A" ? "200" : "320"], ["what it sells for in EUR", "0"], ["years of life", letter === "A" ? "5" : "10"], ["price of the kits in EUR", "20"], ["bench minutes per service", "60"],
      ["a bench hour in EUR", "40"], ["months between services", letter === "A" ? "12" : "24"], ["dives between services", "none"], ["dives a year", "60"], ["faults a year", "0.2"], ["minutes per repair", "30"], ["hire income a year in EUR", "0"],
    ];
    for (const [label, value] of figures) await side.getByLabel(label, { exact: false }).first().fill(value);
  }
  await expect(page.getByText(/Over 10 years the model not owned yet is cheaper by .* EUR/)).toBeVisible();
  await page.getByRole("group", { name: "Model A" }).getByLabel("years of life").fill("none at all");
  await expect(page.getByText("A figure above is not right yet.")).toBeVisible();
});

test("a month without anything, and a site without dives, say so in words", async ({ as, centre }) => {
  await playSomeDays(centre.room);
  const page = await as("manager");
  await openLive(page, "/trends/months?from=2019-01&until=2019-06");
  await expect(page.getByText("No dives were counted in this period, so there is no rate.", { exact: false })).toBeVisible();
  await openLive(page, "/trends/codes?from=2019-01&until=2019-06");
  await expect(page.getByText("No fault was counted in this period.")).toBeVisible();
});

for (const width of [1280, 360]) {
  test(`every page of trends is accessible and fits at ${width} px`, async ({ as, centre }) => {
    // Six pages, each looked over whole: on a busy machine more than a minute's work.
    test.slow();
    await playSomeDays(centre.room);
    const page = await as("manager", { viewport: { width, height: width === 360 ? 740 : 900 } });
    for (const [path, name] of [["/trends", "models"], ["/trends/months", "months"], ["/trends/after-service", "after-service"], ["/trends/codes", "codes"], ["/trends/costs", "costs"], ["/trends/faults", "faults"]] as const) {
      await openLive(page, path);
      if (!["costs", "faults"].includes(name)) await expect(chart(page)).toBeVisible();
      for (const summary of await page.getByText("The numbers", { exact: true }).all()) await summary.click();
      await picture(page, `trends-${name}-${width}`);
      await expectAccessible(page);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
      await expectNothingCut(page);
    }
  });
}
