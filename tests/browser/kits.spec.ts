/** Kits from the order to the service that uses them up, and the gauges a test is read on. */
import { openWorkOrder, takeWorkOrder } from "@hangrail/db/bench-acts";
import { addDays } from "@hangrail/rules/calendar";
import { done } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

test.use({ scene: { readySets: 3 } });
test.describe.configure({ mode: "serial" });

test("a kit is entered, ordered, comes short of the order, and lies on the shelf", async ({ as, centre }) => {
  const page = await as("manager");
  await openLive(page, "/kits");
  await page.getByLabel("Maker").fill("Tarnfell");
  await page.getByLabel("Kit", { exact: false }).last().fill("Seat kit 12");
  await page.getByLabel(/^Price/).fill("18,40");
  await page.getByLabel(/Days until an order comes/).fill("10");
  await page.getByRole("button", { name: "Enter this kit" }).click();
  await expect(page.getByText("Tarnfell Seat kit 12 is entered.")).toBeVisible();
  await expect(page.getByRole("listitem").filter({ hasText: "Seat kit 12" })).toContainText("18.40 EUR; comes within 10 days of an order.");
  await picture(page, "kits");
  await page.getByRole("link", { name: "Tarnfell Seat kit 12" }).click();
  await expect(page.getByRole("heading", { name: "Tarnfell Seat kit 12" })).toBeVisible();
  const orders = page.getByRole("region", { name: /^Ordered/ });
  await orders.getByLabel("How many", { exact: true }).fill("6");
  // The day is reckoned from the lead time.
  await expect(orders.getByLabel("Expected")).toHaveValue(addDays(await centre.room.today(), 10));
  await orders.getByRole("button", { name: "Note this order" }).click();
  await expect(orders.getByText("6 kits ordered.")).toBeVisible();
  const open = orders.getByRole("listitem");
  await open.getByLabel("How many came").fill("4");
  await open.getByLabel("Lot").fill("S-77");
  await picture(page, "kit");
  await open.getByRole("button", { name: "Close this order" }).click();
  await expect(orders.getByText("The order is closed; 4 kits came.")).toBeVisible();
  await expect(page.getByText("4 kits on the shelf.")).toBeVisible();
  await expect(page.getByRole("table", { name: /Movements/ })).toContainText("S-77");
});

test("a service under its work order takes its kits off the shelf, and is not recorded without a lot", async ({ as, centre }) => {
  const { room } = centre;
  const set = room.sets[0]!;
  const { order } = done(await openWorkOrder(room.db, room.by("technician"), set.id, { kind: "service", fault: null, notice: null, weekOn: null, words: "Before the season" }));
  done(await takeWorkOrder(room.db, room.by("technician"), order));
  const page = await as("technician");
  await openLive(page, `/bench/${set.tag}?order=${order}`);
  const work = page.getByRole("region", { name: "Record work" });
  await expect(work.getByLabel(/It belongs to the work order: a service: “Before the season”, taken by Tove Stone/)).toBeChecked();
  await expect(work.getByLabel("Service", { exact: true })).toBeChecked();
  await work.getByRole("button", { name: "Tick all 4" }).click();
  const lots = work.getByLabel(/^Lot of Tarnfell Seal kit/);
  await expect(lots).toHaveCount(3);
  for (const lot of await lots.all()) await expect(lot).toHaveValue("L-7");
  await picture(page, "record-service");
  await work.getByLabel("In words").fill("Seats worn, renewed");
  await lots.first().fill(" ");
  await work.getByRole("button", { name: "Record this service" }).click();
  await expect(work.getByText("Enter the lot of Tarnfell Seal kit: it stands on the kit's bag.")).toBeVisible();
  await lots.first().fill("L-9");
  await work.getByRole("button", { name: "Record this service" }).click();
  await expect(page.getByText("Service of 4 components is recorded. Now test and release. 3 kits came off the shelf.")).toBeVisible();
  const { rows } = await centre.database.ownerPool.query<{ lot: string; order: string }>("SELECT lot, order_id AS order FROM kit_movement WHERE order_id = $1 ORDER BY lot", [order]);
  expect(rows.every(({ lot }) => lot.startsWith("L-"))).toBe(true);
  expect(rows).toHaveLength(3);
  const recorded = await centre.database.ownerPool.query("SELECT FROM component_work WHERE order_id = $1 AND kind = 'service'", [order]);
  expect(recorded.rows).toHaveLength(4);
});

test("a coarse gauge says what it cannot prove; calibrated, it is back in use", async ({ as, centre }) => {
  const today = await centre.room.today();
  const page = await as("technician");
  await openLive(page, "/kits");
  await page.getByRole("navigation", { name: "Kits and test gauges" }).getByRole("link", { name: "Test gauges" }).click();
  await expect(page.getByRole("heading", { name: "Test gauges", level: 1 })).toBeVisible();
  const add = page.getByRole("region", { name: "Add a test gauge" });
  await add.getByLabel("Name").fill("Old dial");
  await add.getByLabel("Serial number").fill("D-1");
  await add.getByLabel("to (bar)").fill("25");
  await add.getByLabel("Class").fill("2.5");
  await add.getByLabel("Calibrated on").fill(addDays(today, -400));
  await add.getByLabel("Valid until").fill(addDays(today, -35));
  await add.getByLabel("Certificate").fill("Certificate 71");
  await add.getByRole("button", { name: "Add this gauge" }).click();
  const card = page.getByRole("listitem").filter({ hasText: "Old dial" }).first();
  await expect(card).toContainText("Out of date");
  await expect(card).toContainText("may be off by 0.625 bar either way. It can show a change; it cannot prove 9.5 from 10.0 bar.");
  await picture(page, "gauges");
  await card.getByRole("button", { name: /Note a calibration/ }).click();
  await card.getByLabel("Calibrated on").fill(today);
  await card.getByLabel("Valid until").fill(addDays(today, 20));
  await card.getByLabel("Certificate").fill("Certificate 90");
  await card.getByRole("button", { name: "Note this calibration" }).click();
  await expect(card).toContainText("Due soon");
  await card.getByRole("button", { name: /Take out of use/ }).click();
  await card.getByLabel("Why").fill("Dropped");
  await card.getByRole("button", { name: "Take it out of use…" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Take it out of use" }).click();
  await expect(page.getByText("Out of use: 1")).toBeVisible();
});

for (const width of [1280, 360]) {
  test(`kits, gauges and the service form are accessible at ${width} px`, async ({ as, centre }) => {
    const page = await as("technician", { viewport: { width, height: 900 } });
    const measure = async () => {
      await expectAccessible(page);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
      await expectNothingCut(page);
    };
    await openLive(page, "/kits");
    await picture(page, `kits-${width}`);
    await measure();
    await openLive(page, `/kits/${centre.room.kit}`);
    await picture(page, `kit-${width}`);
    await measure();
    await openLive(page, "/gauges");
    await page.getByRole("button", { name: /Note a calibration/ }).first().click();
    await picture(page, `gauges-${width}`);
    await measure();
    await openLive(page, `/bench/${centre.room.sets[1]!.tag}`);
    await page.getByLabel("Service", { exact: true }).check();
    await page.getByRole("button", { name: "Tick all 4" }).click();
    await page.getByRole("button", { name: "A further kit was used" }).click();
    await picture(page, `service-${width}`);
    await measure();
  });
}
