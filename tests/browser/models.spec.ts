/** What manuals say for the bench: entered, read back, accepted, and what follows from it at a swap. */
import { acceptBuild, type BuildInput } from "@hangrail/db/bench-acts";
import { addModel, refit, registerSet } from "@hangrail/db/acts";
import { done, MAKER } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 3 } });
test.describe.configure({ mode: "serial" });

const page14 = "Workshop manual, 5th edition, page 14";

test("bench limits are copied, read back and accepted by keyboard; the version before is kept", async ({ as, centre }) => {
  const page = await as("technician");
  await openLive(page, `/models/${centre.room.models.first}`);
  const section = page.getByRole("region", { name: "Limits of the bench test" });
  await expect(section).toContainText("9.00 to 10.00 bar");
  await picture(page, "model");
  await section.getByRole("button", { name: "Enter bench limits" }).focus();
  await page.keyboard.press("Enter");
  const creep = section.getByRole("group", { name: "Creep in five minutes" });
  await creep.getByLabel("At most (bar)").fill("0,25");
  await section.getByRole("button", { name: "Read it back to me" }).focus();
  await page.keyboard.press("Enter");
  // Without its page it is nobody's figure.
  await expect(creep).toContainText("Not right yet: name the manual and its page.");
  await creep.getByLabel("Where it stands").fill(page14);
  await page.keyboard.press("Enter");
  await expect(section.getByRole("heading", { name: /Is this what the manual of Tarnfell Beck 10 says/ })).toBeFocused();
  await expect(section).toContainText("Creep in five minutes: at most 0.25 bar");
  await section.getByRole("button", { name: "Accept these bench limits" }).focus();
  await page.keyboard.press("Enter");
  await expect(section.getByText("Accepted. Tests of Tarnfell Beck 10")).toBeVisible();
  await expect(section).toContainText("at most 0.25 bar");
  await expect(section).toContainText(`${page14}. Accepted by Tove Stone`);
  await section.getByText("Earlier versions: 1").click();
  await expect(section).toContainText("at most 0.30 bar");
});

test("starting values are marked as no maker's, and count for nothing by themselves", async ({ as, centre }) => {
  const page = await as("technician");
  await openLive(page, `/models/${centre.room.models.gauge}`);
  const section = page.getByRole("region", { name: "Limits of the bench test" });
  await expect(section).toContainText("Not recorded: not judged.");
  await section.getByRole("button", { name: "Enter bench limits" }).click();
  await section.getByRole("button", { name: "Fill empty rows with starting values" }).click();
  await expect(section.getByText("Starting value, not the maker's: put the manual's figure here.")).toHaveCount(2);
  await picture(page, "model-starting-values");
  await section.getByRole("button", { name: "Read it back to me" }).click();
  await expect(section.getByRole("alert")).toContainText("2 rows above still to be put right.");
  const { rows } = await centre.database.ownerPool.query("SELECT FROM bench_limit WHERE model_id = $1", [centre.room.models.gauge]);
  expect(rows).toHaveLength(0);
});

test("the models screen names what is missing, and ports entered there make a set fit", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  const page = await as("technician");
  await openLive(page, "/models");
  await expect(page.getByRole("region", { name: "The way to the first hand-out" })).toContainText("Bench limits and kits missing for Tarnfell Beck 10 and Tarnfell Beck G");
  await expect(page.getByText("Limits of the bench test missing: error of the gauge, low on its scale and error of the gauge, middle and high.")).toBeVisible();
  await picture(page, "models");
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByRole("region", { name: "How it goes together" })).toContainText("Not judged");

  await openLive(page, `/models/${room.models.first}`);
  const built = page.getByRole("region", { name: "How it is built" });
  await built.getByRole("button", { name: "Enter how it is built" }).click();
  await built.getByLabel("balanced", { exact: true }).check();
  await built.getByLabel(/High-pressure ports/).fill("1");
  await built.getByLabel(/Low-pressure ports, 3\/8/).fill("2");
  await built.getByLabel(/Low-pressure ports, 1\/2/).fill("0");
  await built.getByLabel("Where it stands").fill(page14);
  await built.getByRole("button", { name: "Accept this from the manual" }).click();
  await expect(built).toContainText("2 ports");
  const plug = (plugsInto: BuildInput["plugsInto"]): BuildInput => ({ balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto, serviceMinutes: null, inspectionMinutes: null, page: page14 });
  done(await acceptBuild(room.db, room.by("technician"), room.models.second, plug("lp-3/8")));
  done(await acceptBuild(room.db, room.by("technician"), room.models.gauge, plug("hp-7/16")));
  await openLive(page, `/sets/${set.tag}`);
  await expect(page.getByRole("region", { name: "How it goes together" })).toContainText("It fits");
});

test("a swap with a wrong thread is told before it is recorded, and refused", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[1]!;
  const { model } = done(await addModel(room.db, room.by("technician"), "gauge", MAKER, "Odd gauge"));
  done(await acceptBuild(room.db, room.by("technician"), model, { balance: null, hpPorts: null, lpPorts: null, lpHalfInchPorts: null, plugsInto: "lp-3/8", serviceMinutes: null, inspectionMinutes: null, page: page14 }));
  const none = { boughtOn: null, inUseOn: null };
  const { set: other } = done(await registerSet(room.db, room.by("technician"), "X-1", [{ model, serial: "ODD1", position: "gauge", ...none }]));
  const { rows } = await centre.database.ownerPool.query<{ id: string }>("SELECT component_id AS id FROM fitting WHERE set_id = $1", [other]);
  done(await refit(room.db, room.by("technician"), { id: other, seq: null }, rows[0]!.id, null, "gauge", "To the shelf"));

  const page = await as("technician");
  await openLive(page, `/bench/${set.tag}`);
  const swap = page.getByRole("region", { name: "Swap a component" });
  await swap.getByLabel("Comes off").selectOption({ label: await swap.getByLabel("Comes off").locator("option", { hasText: "gauge" }).first().innerText() });
  await swap.getByLabel("Goes on, from the shelf").selectOption(rows[0]!.id);
  await expect(swap.getByRole("alert")).toContainText("Tarnfell Odd gauge, ODD1 takes cylinder pressure, and its thread (3/8 inch, low pressure) goes into a low-pressure port.");
  await picture(page, "swap-check");
  await swap.getByLabel("Why").fill("Glass fogged");
  await swap.getByRole("button", { name: "Record this swap" }).click();
  await expect(swap.getByText("Nothing was swapped.")).toBeVisible();
  const fitted = await centre.database.ownerPool.query("SELECT FROM fitting WHERE set_id = $1 AND component_id = $2", [set.id, rows[0]!.id]);
  expect(fitted.rows).toHaveLength(0);
});

for (const width of [1280, 360]) {
  test(`a model's page and its forms are accessible at ${width} px`, async ({ as, centre }) => {
    const page = await as("technician", { viewport: { width, height: 900 } });
    await openLive(page, `/models/${centre.room.models.first}`);
    for (const name of ["Enter bench limits", "Enter a new version", "Enter a new list"]) await page.getByRole("button", { name, exact: true }).click();
    await page.getByRole("button", { name: "Fill empty rows with starting values" }).click();
    await picture(page, `model-forms-${width}`);
    await expectAccessible(page);
    await expectNoSidewaysScroll(page);
    await expectLargeTargets(page);
    await expectNothingCut(page);
    await openLive(page, "/models");
    await expectAccessible(page);
    await expectNoSidewaysScroll(page);
    await expectLargeTargets(page);
  });
}
