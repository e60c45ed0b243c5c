/** The desk with a queue in front of it: scans, parties, held sets, lost answers, the way back. */
import { addDays } from "@hangrail/rules/calendar";
import { handOut, soilSet } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import type { Page } from "@playwright/test";
import { aHire, done, type RoomSet } from "../support/kit-room.ts";
import type { Centre } from "./centre.ts";
import { expect, openLive, picture, scan, test } from "./walk.ts";

test.use({ scene: { readySets: 16 } });

/** How many hires a set has behind it, the open one included. */
async function hiresOf({ database }: Centre, set: RoomSet): Promise<number> {
  const { rows } = await database.ownerPool.query<{ n: number }>("SELECT count(*)::int AS n FROM hire_line WHERE set_id = $1", [set.id]);
  return rows[0]!.n;
}

async function tagOut({ room }: Centre, set: RoomSet): Promise<void> {
  done(await reportFault(room.db, room.by("desk"), set.id, { code: "SS-02", severity: "hold", component: set.parts.primary, where: "desk", words: "Breathes wet" }));
}

/** Out by the record, so that a walk can begin where the set is away. */
async function sendOut({ room }: Centre, sets: readonly RoomSet[], hirer: string, days = 3): Promise<void> {
  done(await handOut(room.db, room.by("desk"), aHire(addDays(await room.today(), days), { hirer }), await room.seen(sets)));
}

const verdictOn = (page: Page, tag: string) => page.getByRole("region", { name: `Set ${tag}` });
const handOutButton = (page: Page) => page.getByRole("button", { name: /^Hand out/ });

test("three scans and no pointer hand a ready set out, and the slip prints with its tags", async ({ as, centre }) => {
  const set = centre.room.sets[0]!;
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(verdictOn(page, set.tag)).toContainText("Ready");
  await picture(page, "desk-ready");
  await scan(page, "H:40817");
  await expect(page.getByLabel("Name or booking")).toHaveValue("40817");
  await scan(page, "HAND-OUT");
  await expect(page.getByRole("heading", { name: "Handed out" })).toBeVisible();
  await picture(page, "desk-handed-out");
  expect(await hiresOf(centre, set)).toBe(1);

  await page.getByRole("link", { name: "Slip" }).click();
  await expect(page.getByRole("heading", { name: "Hire slip", level: 2 })).toBeVisible();
  await expect(page.getByText(set.tag, { exact: true })).toBeVisible();
  await expect(page.getByText("FI000001")).toBeVisible();
  await expect(page.getByText("40817").first()).toBeVisible();
  await picture(page, "desk-slip");
  const paper = await page.pdf({ format: "A4", tagged: true });
  // A tagged document: a screen reader finds its parts on paper's file as well.
  expect(paper.subarray(0, 5).toString()).toBe("%PDF-");
  expect(paper.includes("/StructTreeRoot") || paper.includes("/MarkInfo")).toBe(true);
  expect(pagesIn(paper)).toBe(1);
});

const pagesIn = (pdf: Buffer): number => Number(/\/Type\s*\/Pages[^>]*?\/Count\s+(\d+)/.exec(pdf.toString("latin1"))?.[1] ?? 0);

test("a scan while the hirer is being written goes into that field and is no set", async ({ as, centre }) => {
  const page = await as("desk");
  await openLive(page, "/desk");
  await page.getByLabel("Name or booking").fill("Ada");
  await page.getByLabel("Name or booking").focus();
  await scan(page, centre.room.sets[1]!.tag);
  await expect(verdictOn(page, centre.room.sets[1]!.tag)).toBeHidden();
});

test("an unknown tag is said, and is in no party", async ({ as }) => {
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, "R-999");
  await expect(page.getByRole("alert").filter({ hasText: "There is no set R-999 here" })).toBeVisible();
  await expect(handOutButton(page)).toHaveAttribute("aria-disabled", "true");
});

test("a held set shows every hold, who clears it, and ready sets that could go instead; a number key takes one", async ({ as, centre }) => {
  const set = centre.room.sets[2]!;
  await tagOut(centre, set);
  done(await soilSet(centre.room.db, centre.room.by("desk"), set.id, "breath-tested", "Tried at the counter"));
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  const verdict = verdictOn(page, set.tag);
  await expect(verdict).toContainText("Stays here");
  // The fault leads; that it is not clean stands below it.
  await expect(verdict).toContainText(/Primary second stage \S+ has a fault/);
  await expect(verdict).toContainText("the technician");
  await expect(verdict.getByRole("list", { name: "Further reasons" }).getByRole("listitem")).toHaveCount(1);
  await expect(verdict.getByRole("list", { name: "Further reasons" })).toContainText(/clean/i);
  await expect(verdict.getByText("these are ready and suit this hire")).toBeVisible();
  const proposed = await verdict.getByRole("button", { name: /give/ }).first().innerText();
  await picture(page, "desk-held");
  await expect(handOutButton(page)).toHaveAttribute("aria-disabled", "true");
  await page.keyboard.press("1");
  const tag = /R-\d{3}/.exec(proposed)![0];
  await expect(verdictOn(page, tag)).toContainText("Ready");
  await expect(verdict).toBeHidden();
});

test("a party with one held set goes nowhere; without it, the others go", async ({ as, centre }) => {
  const [one, held, two] = centre.room.sets.slice(3, 6) as [RoomSet, RoomSet, RoomSet];
  await tagOut(centre, held);
  const page = await as("desk");
  await openLive(page, "/desk");
  for (const { tag } of [one, held, two]) {
    await scan(page, tag);
    await expect(page.getByText(tag).first()).toBeVisible();
  }
  await expect(page.getByRole("heading", { name: "3 sets in this party" })).toBeVisible();
  await scan(page, "H:Party of three");
  await scan(page, "HAND-OUT");
  await expect(page.getByRole("alert").first()).toContainText(held.tag);
  await picture(page, "desk-party-held");
  for (const set of [one, held, two]) expect(await hiresOf(centre, set)).toBe(0);

  await page.getByRole("button", { name: `Remove ${held.tag} from the party` }).click();
  await expect(handOutButton(page)).not.toHaveAttribute("aria-disabled", "true");
  await handOutButton(page).click();
  await expect(page.getByRole("heading", { name: "Handed out" })).toBeVisible();
  expect([await hiresOf(centre, one), await hiresOf(centre, held), await hiresOf(centre, two)]).toEqual([1, 0, 1]);
});

test("a set put in by the server while the screen waited is caught: the screen is told what happened", async ({ as, centre }) => {
  const set = centre.room.sets[6]!;
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(verdictOn(page, set.tag)).toContainText("Ready");
  // Another desk hands it out; this screen's news of it are held up, so it still shows "Ready".
  await page.route("**/api/trpc/desk.lookUp*", (route) => route.abort());
  await sendOut(centre, [set], "The other queue");
  await page.getByLabel("Name or booking").fill("Too late");
  await page.unroute("**/api/trpc/desk.lookUp*");
  await expect(verdictOn(page, set.tag)).toContainText("Stays here");
  expect(await hiresOf(centre, set)).toBe(1);
});

test("Enter twice within thirty milliseconds is one hire", async ({ as, centre }) => {
  const set = centre.room.sets[7]!;
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(verdictOn(page, set.tag)).toContainText("Ready");
  await scan(page, "H:Double");
  await expect(handOutButton(page)).toBeFocused();
  await scan(page, "HAND-OUT", 3);
  await expect(page.getByRole("heading", { name: "Handed out" })).toBeVisible();
  expect(await hiresOf(centre, set)).toBe(1);
});

test("an answer lost on the way, then a second try: one hire, and the screen ends at it", async ({ as, centre, watch }) => {
  watch.forgive(/ERR_FAILED|Failed to load resource/);
  const set = centre.room.sets[8]!;
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(verdictOn(page, set.tag)).toContainText("Ready");
  await scan(page, "H:Lost answer");
  let lost = 0;
  await page.route("**/api/trpc/desk.handOut*", async (route) => {
    // The server has recorded it; the line breaks before the answer arrives.
    await route.fetch();
    lost += 1;
    await route.abort();
  });
  await scan(page, "HAND-OUT");
  const notice = page.getByRole("alert").filter({ hasText: "Not known to be recorded" });
  await expect(notice).toBeVisible();
  await picture(page, "desk-lost-answer");
  expect(lost).toBe(1);
  expect(await hiresOf(centre, set)).toBe(1);
  await page.unroute("**/api/trpc/desk.handOut*");
  await notice.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByRole("heading", { name: "Handed out" })).toBeVisible();
  expect(await hiresOf(centre, set)).toBe(1);
});

test("without the line the hand-out is refused in words, and nothing is sent when the line is back", async ({ as, centre, watch }) => {
  watch.forgive(/ERR_INTERNET_DISCONNECTED|Failed to load resource/);
  const set = centre.room.sets[9]!;
  const page = await as("desk");
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(verdictOn(page, set.tag)).toContainText("Ready");
  await scan(page, "H:Cut off");
  await page.context().setOffline(true);
  await expect(handOutButton(page)).toHaveAttribute("aria-disabled", "true");
  await expect(handOutButton(page)).toHaveAttribute("aria-description", /connection is lost/);
  await handOutButton(page).click({ force: true });
  await scan(page, "HAND-OUT");
  await picture(page, "desk-offline");
  const sent: string[] = [];
  page.on("request", (request) => void (request.method() === "POST" && sent.push(request.url())));
  await page.context().setOffline(false);
  await expect(handOutButton(page)).not.toHaveAttribute("aria-disabled", "true");
  expect(sent).toEqual([]);
  expect(await hiresOf(centre, set)).toBe(0);
});

test("taken back with a problem, a set is seen tagged out on another screen within a second", async ({ as, centre }) => {
  const set = centre.room.sets[10]!;
  await sendOut(centre, [set], "Wet breather");
  const [page, other] = await Promise.all([as("desk"), as("manager")]);
  await openLive(other, `/sets/${set.tag}`);
  await expect(other.getByText("Out", { exact: true }).first()).toBeVisible();
  await openLive(page, "/desk/back");
  await scan(page, set.tag);
  const back = page.getByRole("region", { name: `Set ${set.tag}` });
  await expect(back).toContainText("Wet breather");
  await expect(page.getByRole("button", { name: "Take back", exact: true })).toHaveAttribute("aria-disabled", "true");
  await back.getByText("Yes, a problem").click();
  await back.getByLabel("Where").selectOption({ index: 2 });
  await back.getByLabel("What was it?").selectOption({ index: 1 });
  await back.getByLabel("In the hirer's words").fill("Water with every breath");
  await picture(page, "desk-back-problem");
  await page.getByRole("button", { name: "Take back", exact: true }).click();
  await expect(page.getByText(/tagged out/i).first()).toBeVisible();
  await expect(other.getByText("Tagged out", { exact: true }).first()).toBeVisible({ timeout: 1_000 });
  await picture(page, "desk-back-done");
});

test("late sets stand first in the list of what is out, and say so", async ({ as, centre }) => {
  const [late, punctual] = centre.room.sets.slice(11, 13) as [RoomSet, RoomSet];
  await sendOut(centre, [punctual], "On time", 5);
  await sendOut(centre, [late], "Never seen again", 1);
  await centre.room.clock.shift(3 * 24 * 60);
  try {
    const page = await as("desk");
    await openLive(page, "/desk/back");
    const out = page.getByRole("region", { name: /Out now/ }).getByRole("listitem").filter({ hasText: /R-\d/ });
    await expect(out.filter({ hasText: "Never seen again" })).toContainText("Late by 2 days");
    const order = await out.allInnerTexts();
    const place = (hirer: string) => order.findIndex((text) => text.includes(hirer));
    expect(place("Never seen again")).toBeLessThan(place("On time"));
    expect(order[0]).toContain("Late");
    await picture(page, "desk-late");
  } finally {
    await centre.room.clock.shift(0);
  }
});
