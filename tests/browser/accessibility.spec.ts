/** Every page, on a telephone and on a desk's screen, in the states a working day brings. */
import type { StaffRole } from "@hangrail/db/people-acts";
import type { Page } from "@playwright/test";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll, walkByTab } from "./measures.ts";
import { expect, open, openLive, picture, scan, test } from "./walk.ts";

test.use({ scene: "busy morning" });
// The longest file of all: both workers share it, each with a morning of its own.
test.describe.configure({ mode: "parallel" });

const WIDTHS = [1280, 360] as const;

interface Stop {
  readonly name: string;
  readonly who: StaffRole | "nobody";
  readonly path: string;
  /** Brings the page into the state it is looked at in. */
  readonly then?: (page: Page) => Promise<void>;
}

const stops: readonly Stop[] = [
  { name: "sign in", who: "nobody", path: "/sign-in" },
  { name: "no such page", who: "nobody", path: "/no-such-page" },
  { name: "today at the desk", who: "desk", path: "/today" },
  { name: "today in the wash room", who: "wash-room", path: "/today" },
  { name: "today at the bench", who: "technician", path: "/today" },
  { name: "today of the manager", who: "manager", path: "/today" },
  { name: "the morning sheet", who: "desk", path: "/desk/morning" },
  { name: "desk, nobody there yet", who: "desk", path: "/desk" },
  { name: "desk, a ready set", who: "desk", path: "/desk", then: (page) => scanned(page, "R-009", "Ready") },
  { name: "desk, a held set", who: "desk", path: "/desk", then: (page) => scanned(page, "R-003", "Instead of R-003") },
  { name: "desk, a set that is out", who: "desk", path: "/desk", then: (page) => scanned(page, "R-001", "Take R-001 back") },
  { name: "desk for one who may only look", who: "manager", path: "/desk" },
  { name: "take back", who: "desk", path: "/desk/back" },
  {
    name: "take back with a problem",
    who: "desk",
    path: "/desk/back?sets=R-002",
    then: async (page) => {
      await page.getByText("Yes, a problem").click();
      await expect(page.getByLabel("What was it?")).toBeVisible();
    },
  },
  {
    name: "slip",
    who: "desk",
    path: "/sets/R-001",
    then: async (page) => {
      await page.getByRole("link", { name: "The hire's slip" }).click();
      await expect(page.getByRole("heading", { name: "Hire slip", level: 2 })).toBeVisible();
    },
  },
  { name: "wash room", who: "wash-room", path: "/wash-room" },
  { name: "wash room, a set scanned", who: "wash-room", path: "/wash-room", then: (page) => scanned(page, "R-006", "hangs to dry") },
  { name: "wash room, finishing", who: "wash-room", path: "/wash-room", then: (page) => page.getByRole("button", { name: "Rinsed, purged and dry…" }).click() },
  { name: "wash room for one who may only look", who: "technician", path: "/wash-room" },
  { name: "putting sets in a bath", who: "wash-room", path: "/wash-room/start?all=1" },
  {
    name: "mixing a bath too weak",
    who: "wash-room",
    path: "/wash-room/mix",
    then: async (page) => {
      await page.getByLabel("Product, measured").fill("20");
      await page.getByLabel("Water, measured").fill("10");
      await expect(page.getByText("Below the label: too weak")).toBeVisible();
    },
  },
  { name: "products", who: "technician", path: "/wash-room/products", then: (page) => page.getByRole("button", { name: /^Record makers/ }).click() },
  { name: "record", who: "manager", path: "/record" },
  {
    name: "record, looked at",
    who: "manager",
    path: "/record",
    then: async (page) => {
      await page.getByRole("button", { name: "Look at the whole record" }).click();
      await expect(page.getByText("The record holds")).toBeVisible();
    },
  },
  { name: "bench", who: "technician", path: "/bench" },
  { name: "bench for one who may only look", who: "manager", path: "/bench" },
  { name: "bench, a faulty set", who: "technician", path: "/bench/R-003", then: (page) => page.getByRole("button", { name: "Clear SS-02…" }).click() },
  { name: "bench, a set to release", who: "technician", path: "/bench/R-007" },
  { name: "report a fault", who: "desk", path: "/bench/report" },
  {
    name: "report a fault of a part",
    who: "wash-room",
    path: "/bench/report?tag=R-009&where=wash-room",
    then: async (page) => {
      await page.getByRole("button", { name: /primary/i }).first().click();
      await expect(page.getByRole("heading", { name: /^What is wrong with/ })).toBeVisible();
    },
  },
  { name: "sets", who: "manager", path: "/sets" },
  { name: "sets, none found", who: "manager", path: "/sets?q=nothing" },
  { name: "sets, columns chosen", who: "desk", path: "/sets", then: (page) => page.getByRole("button", { name: "Columns" }).click() },
  { name: "labels", who: "desk", path: "/sets/labels" },
  { name: "out of service", who: "technician", path: "/sets/out-of-service" },
  { name: "a set that is out", who: "manager", path: "/sets/R-001" },
  { name: "a faulty set", who: "desk", path: "/sets/R-003" },
  { name: "a retired set", who: "manager", path: "/sets/R-008" },
  {
    name: "retiring a set, asked first",
    who: "manager",
    path: "/sets/R-009",
    then: (page) => page.getByRole("button", { name: /^Retire/ }).first().click(),
  },
  { name: "registering a set", who: "technician", path: "/sets/new" },
  { name: "models", who: "technician", path: "/models" },
  {
    name: "a model's limits being entered",
    who: "technician",
    path: "/models",
    then: async (page) => {
      await page.getByRole("table").getByRole("link", { name: /^Tarnfell Beck 10/ }).click();
      await page.getByRole("button", { name: "Enter new limits" }).click();
      await page.getByRole("button", { name: "Read it back to me" }).click();
      await expect(page.getByText("Not complete yet")).toBeVisible();
    },
  },
  { name: "pairings", who: "technician", path: "/models/pairings" },
  { name: "fleet in and out", who: "manager", path: "/fleet" },
  { name: "people", who: "manager", path: "/centre" },
  { name: "a person's authorisation", who: "manager", path: "/centre", then: (page) => page.getByRole("button", { name: "Authorise for a maker" }).first().click() },
  { name: "devices", who: "manager", path: "/centre/devices" },
  { name: "settings", who: "manager", path: "/centre/settings" },
  { name: "fault list, a severity being changed", who: "manager", path: "/centre/faults", then: (page) => page.getByRole("button", { name: "Change SS-05" }).click() },
  { name: "my PIN and password", who: "desk", path: "/centre/my-secret" },
];

async function scanned(page: Page, tag: string, answer: string): Promise<void> {
  await scan(page, tag);
  await expect(page.getByText(answer).first()).toBeVisible();
}

for (const { name, who, path, then } of stops) {
  test(`${name}: axe, width and targets`, async ({ as, watch }) => {
    if (name === "no such page") watch.forgive(/status of 404/);
    const page = await as(who);
    await (who === "nobody" ? open : openLive)(page, path);
    await then?.(page);
    await expect(page.getByText(/is being read…|^Being read…$|being looked up…|^Being asked…$/)).toHaveCount(0);
    for (const width of WIDTHS) {
      await page.setViewportSize({ width, height: 800 });
      await picture(page, `page-${width}-${name.replaceAll(/[^a-z]+/gi, "-")}`);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
      await expectNothingCut(page);
      await expectAccessible(page);
    }
  });
}

for (const { who, path } of [
  { who: "desk", path: "/desk" },
  { who: "desk", path: "/desk/back?sets=R-002" },
  { who: "wash-room", path: "/wash-room" },
  { who: "technician", path: "/bench/R-007" },
  { who: "manager", path: "/sets" },
  { who: "manager", path: "/today" },
] as const) {
  test(`${path} by Tab alone: every stop is seen`, async ({ as }) => {
    for (const width of WIDTHS) {
      const page = await as(who, { viewport: { width, height: 740 } });
      await openLive(page, path);
      const walked = await walkByTab(page);
      expect(walked[0]).toBe('a "Skip to the page"');
      expect(walked.length).toBeGreaterThan(6);
      await page.context().close();
    }
  });
}

test("the skip link goes past the bars to the page", async ({ as }) => {
  const page = await as("desk");
  await openLive(page, "/desk");
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  await page.keyboard.press("Tab");
  await expect(page.getByRole("link", { name: "Skip to the page" })).toBeFocused();
  await expect(page.getByRole("link", { name: "Skip to the page" })).toBeInViewport();
  await page.keyboard.press("Enter");
  await page.keyboard.press("Tab");
  expect(await page.evaluate(() => document.querySelector("main")?.contains(document.activeElement))).toBe(true);
});

test("at twice the size, in forced colours and without motion the desk still fits", async ({ as }) => {
  // A screen of 1280 px, enlarged to 200 %, has room for 640.
  const page = await as("desk", { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2, reducedMotion: "reduce", forcedColors: "active" });
  await openLive(page, "/desk");
  await scanned(page, "R-003", "Stays here");
  await expectNoSidewaysScroll(page);
  await expectNothingCut(page);
  await picture(page, "desk-forced-colours");
});

test("the measures see what they measure", async ({ as, watch }) => {
  watch.forgive(/Content Security Policy/);
  const page = await as("desk", { viewport: { width: 360, height: 740 }, bypassCSP: true });
  await openLive(page, "/desk");
  const plant = (html: string) => page.evaluate((text) => document.querySelector("main")!.insertAdjacentHTML("afterbegin", text), html);
  await plant('<div id="planted"><button style="height: 30px; width: 30px">x</button></div>');
  await expect(expectLargeTargets(page)).rejects.toThrow(/30 x 30/);
  await plant('<div style="width: 500px">wide</div>');
  await expect(expectNoSidewaysScroll(page)).rejects.toThrow(/wide/);
  await plant('<button style="width: 60px; height: 60px; white-space: nowrap; overflow: visible">a label that is too long for it</button>');
  await expect(expectNothingCut(page)).rejects.toThrow(/a label that is too long/);
  await plant('<input type="text"><p style="color: #999; background: #fff">faint</p>');
  await expect(expectAccessible(page)).rejects.toThrow(/label: [\s\S]*contrast|contrast[\s\S]*label: /);
  await plant('<a href="/sets" style="outline: none !important">unringed</a>');
  await page.evaluate(() => document.querySelector("#planted")!.remove());
  await expect(walkByTab(page)).rejects.toThrow(/rings/);
});
