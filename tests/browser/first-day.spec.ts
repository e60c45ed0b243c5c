/** From an empty database to the first set that may go out, as the first manager walks it. */
import { addDays, dayOf } from "@hangrail/rules/calendar";
import type { Page } from "@playwright/test";
import { takeClock } from "../support/kitroom-clock.ts";
import { SETUP_CODE } from "../support/served.ts";
import { expect, open, openLive, picture, scan, takenOver, test } from "./walk.ts";

test.use({ scene: "empty" });

const PASSWORD = "seven wet gloves on a rail";
const PIN = "580417";

/** A sheet of one set, with days that are right whenever the walk is walked. */
function sheet(today: string): Buffer {
  const bought = addDays(today as never, -500);
  const served = addDays(today as never, -40);
  const parts = [
    ["first stage", "Copperfin", "Keel", "K-100"],
    ["primary", "Copperfin", "Keel S", "S-100"],
    ["octopus", "Copperfin", "Keel S", "S-101"],
    ["gauge", "Copperfin", "Keel G", "G-100"],
  ];
  const rows = parts.map((part) => ["C-1", ...part, bought, bought, served, served, served, "12", "11", "12", "11", "240"].join(","));
  return Buffer.from(["Tag,Position,Maker,Model,Serial,Bought on,In use on,Last used on,Serviced on,Inspected on,Dives since service,Hours since service,Dives since inspection,Hours since inspection,Total dives", ...rows].join("\r\n"));
}

async function acceptLimits(page: Page, model: string, kind: "first" | "second" | "gauge"): Promise<void> {
  await openLive(page, "/models");
  await page.getByRole("table").getByRole("link", { name: `Copperfin ${model}`, exact: true }).click();
  await page.getByRole("button", { name: "Enter the limits" }).click();
  const service = page.getByRole("group", { name: "Service after, whichever comes first" });
  await service.getByLabel(/^Months/).fill("12");
  await service.getByLabel(/^Dives/).fill("200");
  await service.getByLabel("The maker sets none").nth(2).check();
  await page.getByLabel("The maker asks for none").check();
  await page.getByLabel(/^Most oxygen/).fill("40");
  if (kind !== "gauge") await page.getByRole("group", { name: "Cold water" }).getByRole("radio").first().check();
  if (kind === "first") {
    await page.getByRole("group", { name: "Connection to the cylinder" }).getByLabel("DIN 300 bar").check();
    await page.getByLabel(/^Highest cylinder pressure/).fill("300");
  }
  await page.getByLabel("Where it stands").fill("Service manual, 2nd edition, page 9");
  await page.getByRole("button", { name: "Read it back to me" }).click();
  await expect(page.getByRole("heading", { name: "Is this what the manual says?" })).toBeFocused();
  await page.getByRole("button", { name: "Accept these limits" }).click();
  await expect(page.getByText("Accepted.")).toBeVisible();
}

async function byPin(page: Page, name: string, pin: string): Promise<void> {
  await open(page, "/sign-in?change=1");
  await page.getByRole("button", { name }).click();
  await page.keyboard.type(pin);
  await expect(page).toHaveURL(/today/);
  await expect(page.getByRole("button", { name })).toBeVisible();
}

test("the first day: set up, enrol, bring in, limits, pairings, products, release, wash, ready", async ({ page, centre, watch }) => {
  // A page that asks just as its session ends is told so; the browser notes that in its console.
  watch.forgive(/401 \(Unauthorized\).*today\.summary/);
  test.setTimeout(240_000);
  // The wrong code, the wrong password and the wrong PIN, each on purpose.
  watch.forgive(/status of 40[13].*session\.(firstRun|signIn|switchPerson)/);
  const clock = await takeClock(centre.database.ownerPool);

  await test.step("set up with the printed code", async () => {
    await page.goto("/");
    await takenOver(page);
    await expect(page).toHaveURL(/first-run/);
    await page.getByLabel("Setup code").fill("not-the-code");
    await page.getByLabel("Name of the centre").fill("Copperfin Bay");
    await page.getByLabel("Time zone").selectOption("Europe/Lisbon");
    await page.getByLabel("Name", { exact: true }).fill("Nora Fell");
    await page.getByLabel("Login name").fill("nora");
    await page.getByLabel("Password").fill(PASSWORD);
    await page.getByLabel("PIN").fill(PIN);
    await page.getByRole("button", { name: "Set up and begin" }).click();
    await expect(page.getByRole("alert").filter({ hasText: "not the set-up code" })).toBeVisible();
    await picture(page, "first-run");
    await page.getByLabel("Setup code").fill(SETUP_CODE);
    await page.getByRole("button", { name: "Set up and begin" }).click();
    await expect(page).toHaveURL(/today/);
    await picture(page, "first-run-today");
  });

  await test.step("a second set-up is not possible", async () => {
    await page.goto("/first-run");
    await expect(page).not.toHaveURL(/first-run/);
  });

  await test.step("sign out, and in again by name and password", async () => {
    await openLive(page, "/today");
    await page.getByRole("button", { name: "Nora Fell" }).click();
    await page.getByRole("button", { name: "Sign out" }).click();
    await expect(page).toHaveURL(/sign-in/);
    await takenOver(page);
    await page.getByLabel("Login name").fill("nora");
    await page.getByLabel("Password").fill("the wrong one altogether");
    await page.getByRole("button", { name: "Sign in" }).click();
    await expect(page.getByRole("alert").filter({ hasText: "wrong" })).toBeVisible();
    await page.getByLabel("Password").fill(PASSWORD);
    await page.getByRole("button", { name: "Sign in" }).click();
    await expect(page).toHaveURL(/today/);
  });

  await test.step("a technician's authorisation, and a desk hand", async () => {
    await openLive(page, "/centre");
    const nora = page.getByRole("region", { name: "Nora Fell" });
    await nora.getByRole("button", { name: "Authorise for a maker" }).click();
    await nora.getByLabel("Maker").fill("Copperfin");
    await nora.getByLabel("Until, that day included").fill("2099-12-31");
    await nora.getByLabel("What proves it").fill("Course certificate 118");
    await nora.getByRole("button", { name: "Authorise Nora Fell" }).click();
    await expect(nora.getByText("May service and release")).toBeVisible();
    await page.getByLabel("Name", { exact: true }).fill("Tam Reed");
    await page.getByLabel("Login name").fill("tam");
    await page.getByLabel("New password").fill("a cork, a rope, a bell");
    await page.getByLabel("New PIN").fill("730156");
    await page.getByLabel("desk hand").check();
    await page.getByRole("button", { name: "Add this person" }).click();
    await expect(page.getByText("Tam Reed can sign in now.")).toBeVisible();
    await picture(page, "centre-people");
  });

  await test.step("enrol the tablet and change person by PIN", async () => {
    await openLive(page, "/centre/devices");
    await page.getByLabel("Name of this device").fill("Desk tablet");
    await page.getByRole("button", { name: "Enrol this device" }).click();
    await expect(page.getByText("This device is enrolled as")).toBeVisible();
    await open(page, "/sign-in?change=1");
    await page.getByRole("button", { name: "Tam Reed" }).click();
    await picture(page, "sign-in-pin");
    for (const digit of "730150") await page.getByRole("button", { name: digit, exact: true }).click();
    await expect(page.getByText("That PIN is wrong.")).toBeVisible();
    await page.getByRole("textbox", { name: "Your PIN" }).pressSequentially("730156");
    await expect(page).toHaveURL(/today/);
    await expect(page.getByRole("button", { name: "Tam Reed" })).toBeVisible();
    await byPin(page, "Nora Fell", PIN);
  });

  const today = dayOf((await clock.read()).getTime(), "Europe/Lisbon");
  await test.step("bring the fleet in", async () => {
    await openLive(page, "/fleet");
    await page.getByLabel("CSV file").setInputFiles({ name: "fleet.csv", mimeType: "text/csv", buffer: sheet(today) });
    await expect(page.getByText("Every cell is understood")).toBeVisible();
    await page.getByRole("button", { name: "Record 4 rows" }).click();
    await expect(page.getByText("4 rows recorded, 1 new set")).toBeVisible();
    await picture(page, "fleet-recorded");
  });

  await test.step("nothing of it goes out yet", async () => {
    await openLive(page, "/desk");
    await scan(page, "C-1");
    await expect(page.getByRole("region", { name: "Set C-1" })).toContainText("Stays here");
    await picture(page, "desk-imported-set");
  });

  await test.step("limits from the manual", async () => {
    await acceptLimits(page, "Keel", "first");
    await acceptLimits(page, "Keel S", "second");
    await acceptLimits(page, "Keel G", "gauge");
    await picture(page, "model-limits");
  });

  await test.step("pairings", async () => {
    await openLive(page, "/models/pairings");
    await page.getByRole("button", { name: /^Approve…/ }).first().click();
    await page.getByLabel("Where the maker says so").first().fill("Service manual, page 3");
    await page.getByRole("button", { name: "Approve this pair" }).first().click();
    await expect(page.getByText("Every pair in use is approved.")).toBeVisible();
    await picture(page, "pairings");
  });

  await test.step("products", async () => {
    await openLive(page, "/wash-room/products");
    for (const [label, text] of [["Name on the bottle", "Klarin"], ["Strength in the bottle (%)", "5"], ["Least strength in the bath (ppm)", "400"], ["Most strength in the bath (ppm)", "600"], ["Wet time (minutes)", "10"], ["A bath is good for (hours)", "24"], ["Where it was read", "Label, back"]] as const) {
      await page.getByLabel(label).fill(text);
    }
    await page.getByRole("button", { name: "Record this product" }).click();
    await page.getByRole("button", { name: "Record makers’ approvals for Klarin" }).click();
    for (const model of await page.getByRole("checkbox").all()) await model.check();
    await page.getByLabel("Where the maker says so").fill("Care sheet, page 2");
    await page.getByRole("button", { name: "Record: the maker allows it" }).click();
    await expect(page.getByText("Recorded for 3 models.")).toBeVisible();
    await picture(page, "products");
  });

  await test.step("release", async () => {
    await openLive(page, "/bench/C-1");
    await page.getByLabel("What was checked").fill("9.5 bar at both supplies, no creep, 12 mbar, no leaks, gauge at zero");
    await page.getByRole("button", { name: "Release C-1" }).click();
    await expect(page.getByText("C-1 is released.")).toBeVisible();
  });

  await test.step("wash", async () => {
    await openLive(page, "/wash-room/mix");
    await page.getByLabel("Label on the bath").fill("Blue tub");
    await page.getByLabel("Product, measured").fill("100");
    await page.getByLabel("Water, measured").fill("9.9");
    await page.getByRole("button", { name: "Record this bath" }).click();
    await expect(page.getByText("Bath recorded")).toBeVisible();
    await openLive(page, "/wash-room/start");
    await scan(page, "C-1");
    await expect(page.getByText("Goes in")).toBeVisible();
    await page.getByRole("button", { name: /^Start: 1 set/ }).click();
    await expect(page.getByText("In the bath", { exact: true })).toBeVisible();
    // Who stays away for ten minutes has to show the PIN again.
    await clock.advance(11);
    await byPin(page, "Nora Fell", PIN);
    await openLive(page, "/wash-room");
    await page.getByRole("button", { name: "Out of the bath" }).click();
    await expect(page.getByText("C-1: out of the bath.")).toBeVisible();
    await clock.advance(13 * 60);
    await byPin(page, "Nora Fell", PIN);
    await openLive(page, "/wash-room");
    await page.getByRole("button", { name: "Rinsed, purged and dry…" }).click();
    for (const step of ["Rinsed in drinking water", "Purged under pressure", "Dry, inside and out"]) await page.getByLabel(step).check();
    await page.getByRole("button", { name: "1 set clean" }).click();
    await expect(page.getByText("C-1: clean.")).toBeVisible();
  });

  await test.step("ready", async () => {
    await openLive(page, "/desk");
    await scan(page, "C-1");
    await expect(page.getByRole("region", { name: "Set C-1" })).toContainText("Ready");
    await picture(page, "desk-first-ready");
  });
});
