/** The weeks ahead: from bookings and hours to a plan, moved, priced, weighed against another, and accepted into orders. */
import { acceptLimits, handOut } from "@hangrail/db/acts";
import { acceptBuild } from "@hangrail/db/bench-acts";
import { makeBookings, setBenchHours, type BookingInput } from "@hangrail/db/plan-acts";
import { addDays, weekdayOf, type Day } from "@hangrail/rules/calendar";
import type { Page } from "@playwright/test";
import { aHire, AMPLE_FIRST, done, type KitRoom } from "../support/kit-room.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll, walkByTab } from "./measures.ts";
import { expect, openLive, picture, test } from "./walk.ts";

const SETS = 8;
test.use({ scene: { readySets: SETS } });

/** So many months from the service of all sets to the next: they all fall due in one week, and the bench cannot do them in one. */
const MONTHS = 2;

/** First stages that fall due within the plan, and how long the bench takes for one. Once a room. */
async function fallDueSoon(room: KitRoom): Promise<void> {
  const { rows } = await room.db.reads.query("SELECT FROM model_build WHERE model_id = $1", [room.models.first]);
  if (rows.length > 0) return;
  done(await acceptLimits(room.db, room.by("technician"), room.models.first, { ...AMPLE_FIRST, serviceMonths: MONTHS, inspectionMonths: MONTHS }));
  for (const model of [room.models.first, room.models.second]) done(await acceptBuild(room.db, room.by("technician"), model, { balance: "balanced", hpPorts: 2, lpPorts: 4, lpHalfInchPorts: 0, plugsInto: null, serviceMinutes: 60, inspectionMinutes: 15, page: "Page 2" }));
}

const mondayAfter = (today: Day, weeks: number): Day => addDays(today, 7 * weeks - ((weekdayOf(today) + 6) % 7));

const booking = (from: Day, days: number, sets: number): BookingInput => ({ fromOn: from, untilOn: addDays(from, days - 1), connection: null, cold: false, o2Tenths: 210, teaching: false, sets, words: "Club weekend", source: "typed" });

/** Four hours a week, and five sets wanted in the weeks around the due day. */
async function readyToPlan(room: KitRoom): Promise<void> {
  await fallDueSoon(room);
  const { rows } = await room.db.reads.query("SELECT FROM bench_hours");
  if (rows.length === 0) done(await setBenchHours(room.db, room.by("manager"), { staff: room.people.technician, weekOn: null, minutes: 240, words: "" }));
  const booked = await room.db.reads.query("SELECT FROM booking WHERE withdrawn_at IS NULL");
  if (booked.rows.length === 0) done(await makeBookings(room.db, room.by("desk"), [booking(mondayAfter(await room.today(), 7), 28, 5)]));
}

const row = (page: Page, tag: string) => page.getByRole("listitem", { name: `Set ${tag}` });
const verdict = (page: Page) => page.getByText(/^Every booking has a set; 8 sets go to the bench$/);

async function workOut(page: Page): Promise<void> {
  await page.getByRole("button", { name: /^Work (out a plan|it out again)$/ }).click();
  await expect(verdict(page)).toBeVisible();
}

test("from hours and bookings to an accepted plan, by keyboard alone", async ({ as, centre }) => {
  await fallDueSoon(centre.room);
  const today = await centre.room.today();
  const page = await as("manager");
  const press = async (name: string | RegExp) => {
    await page.getByRole("button", { name }).first().focus();
    await page.keyboard.press("Enter");
  };

  await openLive(page, "/plan/hours");
  const hours = page.getByRole("region", { name: "Hours of Tove Stone" });
  await expect(hours.getByText("No hours entered, so none are counted.")).toBeVisible();
  await hours.getByLabel("Hours a week").focus();
  await page.keyboard.type("many");
  await page.keyboard.press("Enter");
  await expect(hours.getByText(/Write hours such as 12, 7.5 or 7:30/)).toBeVisible();
  await page.keyboard.press("Control+A");
  await page.keyboard.type("4");
  await page.keyboard.press("Enter");
  await expect(hours.getByText("4 h entered for every week.")).toBeVisible();
  await picture(page, "plan-hours");

  await openLive(page, "/plan/bookings");
  await expect(page.getByText("Nothing is booked from today on.", { exact: false })).toBeVisible();
  // In which order a date field takes its digits is the browser's own affair.
  await page.getByLabel("First day").fill(mondayAfter(today, 7));
  await page.getByLabel("Last day (may be left empty)").fill(addDays(mondayAfter(today, 7), 27));
  await page.getByLabel("How many sets").focus();
  await page.keyboard.type("5");
  await page.keyboard.press("Enter");
  await expect(page.getByText(/^Entered: 5 sets from/)).toBeVisible();
  await expect(page.getByRole("table", { name: "Bookings from today on" })).toContainText("any connection");
  await expect(page.getByRole("region", { name: "Days at risk" }).getByRole("table").first()).toContainText("5 sets");
  await picture(page, "plan-bookings");

  await openLive(page, "/plan");
  await expect(page.getByText(/^Were nothing serviced, \d+ days would be short of sets$/)).toBeVisible();
  await press("Work out a plan");
  await expect(verdict(page)).toBeVisible();
  await expect(page.getByText(/No plan can be better|Proven: no plan can be better\./).first()).toBeVisible();
  await picture(page, "plan-made");

  const bar = row(page, "R-003").getByRole("slider", { name: "Week of R-003" });
  const was = Number(await bar.inputValue());
  await bar.focus();
  await page.keyboard.press("l");
  await expect(row(page, "R-003").getByText("Fixed", { exact: true })).toBeVisible();
  await page.keyboard.press("ArrowLeft");
  await expect(bar).toHaveValue(String(was - 1));
  await expect(row(page, "R-003").getByText(/wastes|Wastes|costs|Costs|saves|Saves|makes no difference|crowds|Crowds|Not possible/)).toBeVisible();
  await expect(bar).toHaveAttribute("aria-valuetext", /, fixed$/);
  await expect(page).toHaveURL(/fix=R-003\./);
  await expect(page.getByText("Moved by hand: nothing is proven of it now.")).toBeVisible();
  await press("Work out the rest again");
  // The plan moved by hand stands until the new one is there.
  await expect(page.getByText("Moved by hand: nothing is proven of it now.")).toHaveCount(0);
  await expect(verdict(page)).toBeVisible();
  await expect(bar).toHaveValue(String(was - 1));
  await expect(row(page, "R-003").getByText(/^You fixed it in week/)).toBeVisible();

  await page.getByLabel(/^A word on it/).focus();
  await page.keyboard.type("Before the season");
  await press("Accept…");
  const dialog = page.getByRole("dialog", { name: "Accept this plan?" });
  await expect(dialog.getByText(/^8 work orders for the bench, in \d+ weeks?\./)).toBeVisible();
  await expect(dialog.getByRole("button", { name: "Go back" })).toBeFocused();
  await picture(page, "plan-accepting");
  await dialog.getByRole("button", { name: "Accept it" }).focus();
  await page.keyboard.press("Enter");
  await expect(page.getByText("Accepted: 8 work orders")).toBeVisible();

  const { rows } = await centre.database.ownerPool.query<{ tag: string; week_on: string; locked: boolean }>(
    "SELECT s.tag, l.week_on::text, l.locked FROM plan_line l JOIN regulator_set s ON s.id = l.set_id ORDER BY s.tag",
  );
  expect(rows).toHaveLength(SETS);
  expect(rows.find(({ tag }) => tag === "R-003")).toMatchObject({ week_on: mondayAfter(today, was - 1), locked: true });

  await page.getByRole("link", { name: "The weeks, to print" }).focus();
  await page.keyboard.press("Enter");
  await expect(page.getByRole("heading", { name: "Accepted plan", level: 1 })).toBeVisible();
  await expect(page.getByText("“Before the season”")).toBeVisible();
  await expect(page.getByRole("row", { name: /R-003/ })).toContainText("fixed by hand");
  await picture(page, "plan-accepted");
});

test("a plan in work, with what was fixed, survives a reload", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  await row(page, "R-002").getByRole("button", { name: "Fix R-002" }).click();
  const where = await row(page, "R-002").getByRole("slider").inputValue();
  await page.reload();
  await expect(verdict(page)).toBeVisible();
  await expect(row(page, "R-002").getByRole("slider")).toHaveValue(where);
  await expect(row(page, "R-002").getByText("Fixed", { exact: true })).toBeVisible();
});

test("a moved set says at once what it costs, by buttons, and what every other week would", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  const one = row(page, "R-001");
  const bar = one.getByRole("slider");
  await one.getByText(/^Other weeks/).click();
  const there = one.getByRole("button", { name: /^Move it there: R-001, Week/ });
  await expect(one.getByText(/^Not possible: /).first()).toBeVisible();
  await picture(page, "plan-other-weeks");
  const was = await bar.inputValue();
  await there.first().click();
  await expect(bar).not.toHaveValue(was);
  await expect(one.getByText(/service life|later than due|off the desk/).first()).toBeVisible();
  await expect(page.getByText("Moved by hand: nothing is proven of it now.").first()).toBeVisible();
  await bar.focus();
  await page.keyboard.press("End");
  await expect(bar).toHaveAttribute("aria-valuetext", "Not in these weeks");
  await expect(one.getByText(/leaves 1 set overdue at the end/i)).toBeVisible();
  await one.getByRole("button", { name: "R-001 a week earlier" }).click();
  await expect(bar).toHaveValue("25");
});

test("all in one week does not fit the bench: the rule is said, and it cannot be accepted", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  for (const tag of ["R-001", "R-002"]) {
    await row(page, tag).getByRole("slider").focus();
    await page.keyboard.press("Home");
    await expect(row(page, tag).getByText(/service life|Not possible/).first()).toBeVisible();
  }
  await expect(page.getByText("As it stands this plan cannot be accepted")).toBeVisible();
  await expect(row(page, "R-002").getByText(/Not possible: In week \d+ the bench has .* too little for the work/)).toBeVisible();
  await expect(page.getByRole("button", { name: "Accept…" })).toHaveAttribute("aria-disabled", "true");
});

test("a search that takes its time says so, and is stopped; what there was stays", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  await page.route("**/api/plan/solve", () => undefined);
  await page.getByRole("button", { name: "Work it out again" }).click();
  await expect(page.getByText("Being worked out…")).toBeVisible();
  await page.getByRole("button", { name: "Stop" }).click();
  await expect(page.getByText("Being worked out…")).toHaveCount(0);
  await expect(verdict(page)).toBeVisible();
  await expect(page.getByRole("button", { name: "Work it out again" })).toBeVisible();
});

test("a technician sees when each set falls due and goes, and moves nothing", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("technician");
  await openLive(page, "/plan");
  await expect(row(page, "R-001")).toBeVisible();
  await expect(page.getByRole("slider")).toHaveCount(0);
  await expect(page.getByRole("button", { name: "Work out a plan" })).toHaveCount(0);
});

test("what if: a technician away stands beside the plan by its numbers, and is dropped or taken", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  const part = page.getByRole("region", { name: "What if" });
  await part.getByLabel("Who").selectOption({ label: "Tove Stone" });
  await part.getByLabel("Until").selectOption({ index: 11 });
  await part.getByRole("button", { name: "Work it out beside the plan" }).click();
  await expect(part.getByRole("table", { name: /^If Tove Stone is away from week/ })).toBeVisible();
  await expect(part.getByRole("row", { name: /Bookings without a set/ })).toContainText("0, better");
  await expect(part.getByText(/bookings would have no set$/)).toBeVisible();
  await picture(page, "plan-what-if");
  await part.getByRole("button", { name: "Drop it" }).click();
  await expect(part.getByRole("table")).toHaveCount(0);
  await part.getByLabel("more, or less, is booked").check();
  await part.getByLabel(/^Bookings in percent/).fill("120");
  await part.getByRole("button", { name: "Work it out beside the plan" }).click();
  await part.getByRole("button", { name: "Take this one" }).click();
  await expect(part.getByRole("table")).toHaveCount(0);
  await expect(verdict(page)).toBeVisible();
});

test("a plan whose sets changed meanwhile is refused with what changed, and keeps every choice", async ({ as, centre }) => {
  const { room } = centre;
  await readyToPlan(room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  await row(page, "R-004").getByRole("button", { name: "Fix R-004" }).click();
  const where = await row(page, "R-004").getByRole("slider").inputValue();
  const [set] = room.sets.filter(({ tag }) => tag === "R-005");
  done(await handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), 1)), await room.seen([set!])));
  await page.getByRole("button", { name: "Accept…" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Accept it" }).click();
  await expect(page.getByText("Not accepted: sets changed meanwhile")).toBeVisible();
  await expect(page.getByText("Set R-005 since: handed out.")).toBeVisible();
  await picture(page, "plan-stale");
  await expect(row(page, "R-004").getByRole("slider")).toHaveValue(where);
  await expect(row(page, "R-004").getByText("Fixed", { exact: true })).toBeVisible();
  await page.getByRole("button", { name: "Judge this plan by what is true now" }).click();
  await expect(page.getByText("Not accepted: sets changed meanwhile")).toHaveCount(0);
  await page.getByRole("button", { name: "Accept…" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Accept it" }).click();
  await expect(page.getByText("Accepted: 8 work orders")).toBeVisible();
});

test("more booked than there are sets: the week, how many, and the cheapest relief, never a plan that hides it", async ({ as, centre }) => {
  const { room } = centre;
  await readyToPlan(room);
  const from = mondayAfter(await room.today(), 3);
  done(await makeBookings(room.db, room.by("desk"), [booking(from, 3, SETS + 2)]));
  const page = await as("manager");
  await openLive(page, "/plan");
  await page.getByRole("button", { name: "Work out a plan" }).click();
  await expect(page.getByText("2 bookings without a set")).toBeVisible({ timeout: 40_000 });
  await expect(page.getByText("It is proven that no plan covers more of them.")).toBeVisible();
  await expect(page.getByText(/^Week \d+ \(.*\): 2 sets short of 10 booked, any connection$/)).toBeVisible();
  await expect(page.getByText(/^2 sets borrowed for any connection in week/)).toBeVisible();
  await picture(page, "plan-short");
  await openLive(page, "/plan/bookings");
  await page.getByRole("button", { name: /^Withdraw 10 sets/ }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Withdraw it" }).click();
  await expect(page.getByRole("row", { name: /10/ }).filter({ hasText: "Withdraw" })).toHaveCount(0);
});

test("bookings from a sheet: every bad cell is shown and nothing recorded; mended, all of them are", async ({ as, centre }) => {
  const today = await centre.room.today();
  // After the weeks that the other walks plan for.
  const day = (weeks: number) => addDays(today, 7 * weeks);
  const page = await as("desk");
  await openLive(page, "/plan");
  await expect(page).toHaveURL(/\/plan\/bookings$/);
  const sheet = page.getByRole("region", { name: "From a sheet" });
  const choose = (text: string) => sheet.locator("input[type=file]").setInputFiles({ name: "summer.csv", mimeType: "text/csv", buffer: Buffer.from(text) });
  await choose(`From,Until,Sets,Valve\n${day(40)},${day(41)},many,yoke\n${day(42)},${day(40)},2,screw\n`);
  await expect(sheet.getByText("Not yet")).toBeVisible();
  await expect(sheet.getByRole("table")).toContainText("many");
  await expect(sheet.getByRole("table")).toContainText("screw");
  await picture(page, "plan-sheet-problems");
  await choose(`From,Until,Sets,Valve\n${day(40)},${day(41)},3,yoke\n${day(42)},${day(43)},2,\n`);
  await sheet.getByRole("button", { name: "Record all 2" }).click();
  await expect(sheet.getByText("2 bookings recorded.")).toBeVisible();
  await expect(page.getByRole("table", { name: "Bookings from today on" })).toContainText("from a sheet");
});

test("last year's hires: none to go by is said", async ({ as }) => {
  const page = await as("desk");
  await openLive(page, "/plan/bookings");
  const past = page.getByRole("region", { name: "From past hires" });
  await past.getByRole("button", { name: "Show them" }).click();
  await expect(past.getByText("Nothing was hired in those days a year ago, so there is nothing to go by.")).toBeVisible();
});

test("a calendar's address is shown once, and answers no more once taken back", async ({ as }) => {
  const page = await as("manager");
  await openLive(page, "/plan/calendar");
  await page.getByLabel("For whom or what").fill("Bench tablet");
  await page.getByRole("button", { name: "Make an address" }).click();
  const address = await page.getByLabel("Address", { exact: true }).inputValue();
  const answer = await page.request.get(address);
  expect(answer.status()).toBe(200);
  expect(await answer.text()).toContain("BEGIN:VCALENDAR");
  await page.getByRole("button", { name: /^Take it back… Bench tablet/ }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Take it back" }).click();
  await expect(page.getByText(/Taken back on/)).toBeVisible();
  expect((await page.request.get(address)).status()).toBe(404);
});

test("too little history is said, and not dressed up as a figure", async ({ as }) => {
  const page = await as("technician");
  await openLive(page, "/plan/held");
  await expect(page.getByText(/^Too little history/)).toBeVisible();
});

for (const width of [1280, 768, 360]) {
  test(`every page of the plan is accessible and fits at ${width} px`, async ({ as, centre }) => {
    test.setTimeout(180_000);
    await readyToPlan(centre.room);
    const page = await as("manager", { viewport: { width, height: width === 360 ? 740 : 900 } });
    const measure = async (name: string) => {
      await expect(page.getByText(/is being drawn…|^Being counted…$/)).toHaveCount(0);
      await picture(page, `plan-${name}-${width}`);
      await expectAccessible(page);
      await expectNoSidewaysScroll(page);
      await expectLargeTargets(page);
      await expectNothingCut(page);
    };
    for (const [path, name] of [["/plan/accepted", "accepted"], ["/plan/kits", "kits"], ["/plan/calendar", "calendar"], ["/plan/bookings", "bookings"], ["/plan/hours", "hours"], ["/plan/held", "held"]] as const) {
      await openLive(page, path);
      for (const summary of await page.locator("main summary").all()) await summary.click();
      await measure(name);
    }
    await openLive(page, "/plan");
    await workOut(page);
    await row(page, "R-001").getByText(/^Other weeks/).click();
    await expect(row(page, "R-001").getByRole("listitem").first()).toBeVisible();
    for (const summary of await page.getByText("The numbers", { exact: true }).all()) await summary.click();
    await measure("plan");
  });
}

test("the plan by Tab alone: every stop is seen", async ({ as, centre }) => {
  await readyToPlan(centre.room);
  const page = await as("manager");
  await openLive(page, "/plan");
  await workOut(page);
  const walked = await walkByTab(page);
  expect(walked.filter((stop) => stop.startsWith("input"))).not.toEqual([]);
});
