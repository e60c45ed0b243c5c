/** A bench test at the screen: typed by keyboard alone, judged as it is typed, a curve pasted, and nothing lost when it is refused. */
import { acceptBenchLimits, acceptBuild, addGauge, reportFault } from "@hangrail/db/bench-acts";
import { addDays } from "@hangrail/rules/calendar";
import type { Page } from "@playwright/test";
import { done, type KitRoom, type RoomSet } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 4 } });

const page14 = "Workshop manual, page 14";

/** What the manuals of the room's models still lack, a master for cylinder gauges, and a gauge out of calibration. Once a room. */
async function equip(room: KitRoom): Promise<void> {
  const { rows } = await room.db.reads.query("SELECT FROM test_gauge WHERE name = 'Master'");
  if (rows.length > 0) return;
  const by = () => room.by("technician");
  const today = await room.today();
  done(await acceptBenchLimits(room.db, by(), room.models.gauge, [{ name: "gauge-error-low", low: null, high: 500, page: page14 }, { name: "gauge-error", low: null, high: 1_000, page: page14 }]));
  done(await acceptBuild(room.db, by(), room.models.first, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 20, page: page14 }));
  const calibratedOn = addDays(today, -400);
  const gauge = { measures: "pressure", spanLow: 0, calibratedOn, certificate: "Certificate 12" } as const;
  done(await addGauge(room.db, by(), { ...gauge, name: "Master", serial: "M-1", spanHigh: 30_000, classTenths: 6, validUntil: addDays(today, 200) }));
  done(await addGauge(room.db, by(), { ...gauge, name: "Old dial", serial: "D-1", spanHigh: 1_600, classTenths: 10, validUntil: addDays(today, -35) }));
  done(await addGauge(room.db, by(), { ...gauge, name: "Coarse dial", serial: "D-2", spanHigh: 2_500, classTenths: 25, validUntil: addDays(today, 200) }));
}

async function at(page: Page, room: KitRoom, set: RoomSet): Promise<void> {
  await equip(room);
  await openLive(page, `/bench/${set.tag}/test`);
}

const whole = (page: Page) => page.getByRole("region", { name: "The whole test" });

/** Types into whatever has the focus and goes on with Enter; "pick:…" are the keys of a choice. */
async function keys(page: Page, ...entries: readonly string[]): Promise<void> {
  for (const entry of entries) {
    if (entry.startsWith("pick:")) for (const key of entry.slice(5).split(" ")) await page.keyboard.press(key);
    else await page.keyboard.type(entry);
    await page.keyboard.press("Enter");
  }
}

const no = "pick:ArrowRight";
const yes = "pick:Space";

test("a whole test is typed by keyboard alone, Enter to Enter, and passes in sight", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  await room.service([set]);
  const page = await as("technician");
  await at(page, room, set);
  await expect(whole(page)).toContainText("Not judged");
  await expect(whole(page)).toContainText("intermediate pressure at the high supply: not read yet.");
  await page.getByLabel("As found").focus();
  // As left; the three test gauges as they stand.
  await keys(page, "pick:ArrowRight", "", "", "");
  await keys(page, "200", "9.5", "0,1", "50", "9.4", no);
  await expect(page.getByRole("region", { name: /^First stage/ })).toContainText("Pass (9.00 bar to 10.00 bar).");
  await keys(page, "2.6", "pick:ArrowDown", "pick:i", "", yes, no);
  await keys(page, "4.0", "pick:ArrowDown", "pick:i", "", yes, no);
  await keys(page, "0", "50", "51", "100", "101", "200", "199", no);
  await expect(whole(page)).toContainText("Everything that has to be read is read, and is within its limits.");
  await expect(page.getByLabel("In words")).toBeFocused();
  await picture(page, "bench-test-pass");
  await page.keyboard.press("Tab");
  await expect(page.getByRole("button", { name: "Record this test as left" })).toBeFocused();
  await page.keyboard.press("Enter");
  await expect(page.getByText("Recorded as left: passed")).toBeVisible();
  await expect(page.getByRole("region", { name: "The last bench test" })).toContainText("9.50 bar");
  const { rows } = await centre.database.ownerPool.query("SELECT FROM regulator_set WHERE id = $1 AND tested_seq >= retest_seq", [set.id]);
  expect(rows).toHaveLength(1);
});

test("a wrong figure says what and where, a failing one by how much; as found stands beside as left", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  const page = await as("technician");
  await at(page, room, set);
  await page.getByLabel("Intermediate pressure, high supply").fill("9.5.1");
  await page.getByRole("button", { name: "Record this test" }).click();
  await expect(page.getByText("“9.5.1” is not a figure in bar. Write it like 9.5.")).toBeVisible();
  await expect(page.getByLabel("Intermediate pressure, high supply")).toBeFocused();
  await page.getByLabel("Cylinder, high").fill("200");
  await page.getByLabel("Intermediate pressure, high supply").fill("11");
  await expect(page.getByText("Fail: 1.00 bar too high (9.00 bar to 10.00 bar).").first()).toBeVisible();
  await expect(whole(page)).toContainText("1 reading fails.");
  await page.getByLabel("As found").check();
  await page.getByRole("button", { name: "Record this test as found" }).click();
  await expect(page.getByText("Recorded as found: failed")).toBeVisible();

  await page.getByLabel("Cylinder, high").fill("200");
  await page.getByLabel("Intermediate pressure, high supply").fill("9.5");
  await page.getByLabel("As left").check();
  await page.getByRole("button", { name: "Record this test as left" }).click();
  await expect(page.getByText("Recorded as left: not judged")).toBeVisible();
  const row = page.getByRole("region", { name: "The last bench test" }).getByRole("row", { name: /Intermediate pressure at the high supply/ });
  await expect(row).toContainText("11.00 bar");
  await expect(row).toContainText("9.50 bar");
  await picture(page, "bench-test-compared");
});

/** A logging gauge's column: opened at five seconds, locks up at 9.50 bar, creeps by so much a second. */
const logged = (perSecond: number) => ["Time (s)\tPressure (bar)", ...Array.from({ length: 330 }, (_, s) => `${s}\t${(s < 5 ? 0 : s < 8 ? 2.5 * (s - 4) : 9.5 + (s - 8) * perSecond).toFixed(2)}`)].join("\n");

test("lock-up and creep are found in a pasted curve, drawn, judged and kept", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[2]!;
  const page = await as("technician");
  await at(page, room, set);
  const first = page.getByRole("region", { name: /^First stage/ });
  await first.getByRole("button", { name: "Paste a curve, high supply…" }).click();
  await page.getByRole("textbox", { name: "Curve at the high supply" }).fill("1\t9.5\n2\tnine");
  await expect(first).toContainText("nothing in it says bar or psi");
  await page.getByLabel("Unit of the high curve").selectOption("bar");
  await expect(first).toContainText("Line 2 (“2\tnine”)");
  await page.getByLabel("Unit of the high curve").selectOption("");
  await page.getByRole("textbox", { name: "Curve at the high supply" }).fill(logged(0.002));
  await expect(first).toContainText("It locked up at 9.50 bar and stood at 10.10 bar five minutes later: a creep of 0.60 bar.");
  await expect(first).toContainText("Fail: 0.30 bar too high (at most 0.30 bar).");
  await page.getByRole("textbox", { name: "Curve at the high supply" }).fill(logged(0.0004));
  await expect(first).toContainText("a creep of 0.12 bar.");
  await expect(first.getByRole("img", { name: /^A line of pressure/ }).locator("path.recharts-line-curve")).toBeVisible();
  await expect(first).toContainText("Pass (at most 0.30 bar).");
  await page.getByLabel("As found").check();
  await page.getByRole("button", { name: "Record this test as found" }).click();
  await expect(page.getByText("enter the pressure in the cylinder while the curve was logged.")).toBeVisible();
  await page.getByLabel("Cylinder, high").fill("200");
  await picture(page, "bench-test-curve");
  await page.getByRole("button", { name: "Record this test as found" }).click();
  await expect(page.getByText("Recorded as found: not judged")).toBeVisible();
  await expect(page.getByRole("region", { name: "The last bench test" }).getByRole("img", { name: /^A line of pressure/ })).toBeVisible();

  await openLive(page, `/bench/${set.tag}/test/past`);
  await expect(page.getByRole("heading", { name: /curve at 200.00 bar/ })).toBeVisible();
  await expect(page.locator("path.recharts-line-curve")).toBeVisible();
  await page.emulateMedia({ media: "print" });
  await picture(page, "bench-test-printed");
});

test("what a gauge cannot prove, and that it is out of calibration, is said before anything is typed", async ({ as, centre }) => {
  const { room } = centre;
  const page = await as("technician");
  await at(page, room, room.sets[3]!);
  const gauges = page.getByRole("region", { name: "Test gauges" });
  await expect(gauges).toContainText("Of 9.00 bar to 10.00 bar it proves 9.16 bar to 9.84 bar");
  await gauges.getByLabel("Intermediate pressure and creep are read on").selectOption({ label: "Coarse dial, D-2" });
  await expect(gauges).toContainText("It can show a change; it cannot prove 9.50 bar from 10.00 bar.");
  await gauges.getByLabel("Intermediate pressure and creep are read on").selectOption({ label: "Old dial, D-1 (out of calibration)" });
  await expect(gauges).toContainText("Old dial is out of calibration");
  await page.getByLabel("Cylinder, high").fill("200");
  await page.getByLabel("Intermediate pressure, high supply").fill("9.5");
  await expect(page.getByRole("region", { name: /^First stage/ })).toContainText("Not judged: the test gauge is not in calibration today.");
  await picture(page, "bench-test-gauges");
});

for (const width of [1280, 360]) {
  test(`the form and its paper are for everybody, ${width} pixels wide`, async ({ as, centre }) => {
    const { room } = centre;
    const set = await room.registerSet();
    done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "out", component: set.parts.primary, where: "desk", words: "Wet" }));
    await room.test([set]);
    const page = await as("technician", { viewport: { width, height: 900 } });
    await at(page, room, set);
    await page.getByRole("button", { name: "Paste a curve, high supply…" }).click();
    await page.getByRole("textbox", { name: "Curve at the high supply" }).fill(logged(0.0004));
    await expect(page.locator("path.recharts-line-curve")).toBeVisible();
    await page.getByLabel("Intermediate pressure, low supply").fill("x");
    await page.getByRole("button", { name: "Record this test" }).click();
    await expect(page.getByText("“x” is not a figure in bar.")).toBeVisible();
    await picture(page, `bench-test-${width}`);
    await scanned(page);
    await openLive(page, `/bench/${set.tag}/test/past`);
    await expect(page.getByText("9.50 bar").first()).toBeVisible();
    await picture(page, `bench-test-past-${width}`);
    await scanned(page);
  });
}

test("a site in US units types psi and inches of water, and is judged by the same small units", async ({ as, centre }) => {
  const { room } = centre;
  const set = await room.registerSet();
  await centre.database.ownerPool.query("UPDATE site SET units = 'us'");
  const page = await as("technician");
  await at(page, room, set);
  await page.getByLabel("Cylinder, high in psi").fill("2901");
  await page.getByLabel("Intermediate pressure, high supply in psi").fill("137.8");
  const first = page.getByRole("region", { name: /^First stage/ });
  await expect(first).toContainText("Pass (130.5 psi (9.00 bar) to 145 psi (10.00 bar)).");
  await page.getByRole("region", { name: /^Primary/ }).getByLabel("Cracking effort in inH2O").fill("2");
  await page.getByRole("region", { name: /^Primary/ }).getByLabel("Adjuster").selectOption("out");
  await page.getByRole("region", { name: /^Primary/ }).getByLabel("Lever").selectOption("dive");
  await expect(page.getByRole("region", { name: /^Primary/ })).toContainText("(1.78 mbar) too high");
  await centre.database.ownerPool.query("UPDATE site SET units = 'metric'");
});

// The last one: a gauge of the room is gone after it.
test("nothing typed is lost when the record refuses", async ({ as, centre }) => {
  const { room } = centre;
  const set = await room.registerSet();
  const page = await as("technician");
  await at(page, room, set);
  await page.getByLabel("Intermediate pressure, high supply").fill("9.5");
  await page.getByLabel("Cylinder, high").fill("200");
  await page.getByLabel("As found").check();
  await page.getByLabel("In words").fill("A hiss at the first stage");
  // Taken out of use under the technician's hands.
  const gauge = page.getByRole("region", { name: "Test gauges" }).getByLabel("Intermediate pressure and creep are read on");
  const used = await gauge.inputValue();
  await centre.database.ownerPool.query("UPDATE test_gauge SET retired_at = now() WHERE id = $1", [used]);
  await page.getByRole("button", { name: "Record this test as found" }).click();
  await expect(page.getByRole("alert").filter({ hasText: "Not recorded" })).toContainText("no such gauge in use");
  await expect(page.getByLabel("Intermediate pressure, high supply")).toHaveValue("9.5");
  await expect(page.getByLabel("In words")).toHaveValue("A hiss at the first stage");
  await gauge.selectOption({ label: "Coarse dial, D-2" });
  await page.getByRole("button", { name: "Record this test as found" }).click();
  await expect(page.getByText("Recorded as found: not judged")).toBeVisible();
});

async function scanned(page: Page): Promise<void> {
  await expectAccessible(page);
  await expectNoSidewaysScroll(page);
  await expectLargeTargets(page);
  await expectNothingCut(page);
}
