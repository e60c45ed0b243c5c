/** The wash room without a network: scans are kept, sent in order when it is back, and gone from the tablet after sign-out. */
import { mixBath, soilSet } from "@hangrail/db/acts";
import { reportFault } from "@hangrail/db/bench-acts";
import type { Page } from "@playwright/test";
import { done } from "../support/kit-room.ts";
import type { Centre } from "./centre.ts";
import { expectAccessible, expectLargeTargets, expectNothingCut, expectNoSidewaysScroll } from "./measures.ts";
import { expect, open, openLive, picture, takenOver, test, type Watch } from "./walk.ts";

test.use({ scene: { readySets: 8 } });

/** A browser's own lines about calls that found no network. */
const noNetwork = (watch: Watch) => watch.forgive(/ERR_INTERNET_DISCONNECTED|Failed to fetch|NetworkError|network error|ERR_NETWORK_CHANGED/i);

async function soiled(centre: Centre, from: number, to: number) {
  const { room } = centre;
  const sets = room.sets.slice(from, to);
  for (const { id } of sets) done(await soilSet(room.db, room.by("desk"), id, "breath-tested", "Tried at the counter"));
  return sets;
}

/** Waits until the tablet keeps the page and the wash room with these sets. */
async function keeps(page: Page, tags: readonly string[]): Promise<void> {
  await expect.poll(() => page.evaluate(async () => (await caches.match("/away")) !== undefined)).toBe(true);
  await expect.poll(async () => (await storesOf(page)).filter((text) => tags.every((tag) => text.includes(`"${tag}"`)))).not.toEqual([]);
}

/** Everything the tablet has in its stores, as text. */
function storesOf(page: Page): Promise<string[]> {
  return page.evaluate(async () => {
    const found: string[] = [JSON.stringify({ ...localStorage }), JSON.stringify({ ...sessionStorage })].filter((text) => text !== "{}");
    for (const name of await caches.keys()) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) found.push(`${request.url} ${/\.(js|css)$/.test(new URL(request.url).pathname) ? "" : await (await cache.match(request))!.text()}`);
    }
    for (const { name = "" } of await indexedDB.databases()) {
      const database = await new Promise<IDBDatabase>((resolve, reject) => {
        const asked = indexedDB.open(name);
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(new Error(String(asked.error)));
      });
      for (const store of database.objectStoreNames) {
        const all = await new Promise<unknown[]>((resolve, reject) => {
          const asked = database.transaction(store).objectStore(store).getAll();
          asked.onsuccess = () => resolve(asked.result);
          asked.onerror = () => reject(new Error(String(asked.error)));
        });
        if (all.length > 0) found.push(JSON.stringify(all));
      }
      database.close();
    }
    return found;
  });
}

/**
 * Types a tag and sends it with Enter. The other walks' scanner opens and closes a line of its own to the browser, and
 * with it the browser forgets that it was told it has no network.
 */
async function scan(page: Page, tag: string): Promise<void> {
  const field = page.getByRole("search").getByRole("textbox");
  await field.fill(tag);
  await field.press("Enter");
}

const waiting = (page: Page) => page.getByRole("region", { name: "Scans made without the network" });
const away = (page: Page) => page.getByText("The network is away");

test("three sets scanned into a bath without a network are sent in order when it is back; one that was tagged out meanwhile is told", async ({ as, centre, watch }) => {
  test.setTimeout(120_000);
  noNetwork(watch);
  const { room } = centre;
  const [one, two, three] = await soiled(centre, 0, 3) as [(typeof room.sets)[0], (typeof room.sets)[0], (typeof room.sets)[0]];
  const tags = [one.tag, two.tag, three.tag];
  done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Green tub", lot: null, productMl: 100, waterMl: 9_900 }));
  const page = await as("wash-room");
  await openLive(page, "/wash-room");
  await keeps(page, tags);

  await test.step("the network goes away: scans are kept, and what is not known is not taken", async () => {
    await page.context().setOffline(true);
    await expect(away(page)).toBeVisible();
    await scan(page, "GREEN TUB");
    await expect(page.getByLabel(/^Green tub/)).toBeChecked();
    for (const tag of tags) {
      await scan(page, tag);
      await expect(page.getByText(`${tag}: into Green tub. Kept on this tablet, not recorded yet.`)).toBeVisible();
    }
    await scan(page, one.tag);
    await expect(page.getByRole("alert").filter({ hasText: `${one.tag} is in the bath already.` })).toBeVisible();
    await scan(page, room.sets[7]!.tag);
    await expect(page.getByRole("alert").filter({ hasText: "was not on the wash room's list" })).toBeVisible();
    await expect(waiting(page)).toContainText("3 scans wait to be sent, the first since");
    await expectAccessible(page);
    await picture(page, "offline-scans-wait");
  });

  await test.step("reloaded without a network, the wash room is there and so are the scans", async () => {
    await page.reload();
    await takenOver(page);
    await expect(page.getByRole("heading", { name: "Wash room, without the network" })).toBeVisible();
    await expect(waiting(page)).toContainText("3 scans wait to be sent");
    await scan(page, two.tag);
    await expect(page.getByRole("alert").filter({ hasText: `${two.tag} is in the bath already.` })).toBeVisible();
    for (const width of [1280, 360]) {
      await page.setViewportSize({ width, height: 900 });
      await expectAccessible(page);
      await expectLargeTargets(page);
      await expectNothingCut(page);
      await expectNoSidewaysScroll(page);
      await picture(page, `offline-reloaded-${width}`);
    }
    await page.setViewportSize({ width: 1280, height: 900 });
  });

  await test.step("nobody's name is in the tablet's stores", async () => {
    const kept = await storesOf(page);
    expect(kept.join("\n")).toContain(one.tag);
    for (const name of ["Wim", "Dina", "Harbour Dive Centre"]) expect(kept.filter((text) => text.includes(name))).toEqual([]);
  });

  await test.step("meanwhile the desk tags one out; when the network is back two are recorded, in order, and the third is refused in words", async () => {
    done(await reportFault(room.db, room.by("desk"), two.id, { code: "SS-02", severity: "out", component: null, where: "desk", words: "" }));
    await page.context().setOffline(false);
    // The kept page looks for the server by itself.
    await expect(page.getByText("2 scans recorded, as entered afterwards.")).toBeVisible({ timeout: 30_000 });
    const refused = page.getByRole("list", { name: "Scans that were refused" });
    await expect(refused).toContainText(`${two.tag} is not as it was when it was scanned: fault reported meanwhile`);
    await expect(waiting(page)).toContainText("No scan waits to be sent.");
    await expectAccessible(page);
    await picture(page, "offline-one-refused");
    const { rows } = await centre.database.ownerPool.query<{ tag: string; late: boolean }>(
      "SELECT s.tag, e.content ? 'late' AS late FROM record_entry e JOIN regulator_set s ON s.id = e.set_id WHERE e.act = 'wash-started' AND s.id = ANY ($1) AND e.seq > 5 ORDER BY e.id",
      [[one.id, two.id, three.id]],
    );
    expect(rows.filter(({ late }) => late).map(({ tag }) => tag)).toEqual([one.tag, three.tag]);
    await refused.getByRole("button", { name: `${two.tag} seen, put it away` }).click();
    await expect(waiting(page)).toBeHidden();
  });
});

test("a sign-out with scans that wait is warned of, and leaves nothing on the tablet", async ({ as, centre, watch }) => {
  test.setTimeout(120_000);
  noNetwork(watch);
  watch.forgive(/Failed to load resource: the server responded with a status of 503/);
  // The live screen may ask once more as its session ends.
  watch.forgive(/401 \(Unauthorized\).*washRoom\.queue/);
  const { room } = centre;
  const [set] = await soiled(centre, 3, 4) as [(typeof room.sets)[0]];
  done(await mixBath(room.db, room.by("wash-room"), { product: room.product, label: "Blue tub", lot: null, productMl: 100, waterMl: 9_900 }));
  const page = await as("wash-room");
  // The server is there and takes no late scan: what is kept stays.
  await page.route(/washRoom\.enterLate/, (route) => route.fulfill({ status: 404, contentType: "application/json", body: "{}" }));
  watch.forgive(/404/);
  await openLive(page, "/wash-room");
  await keeps(page, [set.tag]);
  await page.context().setOffline(true);
  await expect(away(page)).toBeVisible();
  await page.getByText("Blue tub").first().click();
  await scan(page, set.tag);
  await expect(waiting(page)).toContainText("1 scan waits to be sent");
  await page.context().setOffline(false);
  await expect(page.getByRole("button", { name: "Send now" })).toBeVisible();
  await page.getByRole("button", { name: "Wim Brook" }).click();
  await page.getByRole("button", { name: "Sign out" }).click();
  await expect(page.getByText("1 scan not recorded yet")).toBeVisible();
  await expectAccessible(page);
  await picture(page, "offline-sign-out-warned");
  expect((await storesOf(page)).join("\n")).toContain(set.tag);
  await page.getByRole("button", { name: "Throw them away and sign out" }).click();
  await expect(page.getByRole("heading", { name: "Sign in" })).toBeVisible();
  await expect.poll(() => storesOf(page)).toEqual([]);
  await expect.poll(() => page.evaluate(() => caches.keys())).toEqual([]);
});

test("without a network nothing is handed out, and nothing of it is sent later", async ({ as, centre, watch }) => {
  noNetwork(watch);
  const { room } = centre;
  const set = room.sets[5]!;
  const page = await as({ staff: room.people.desk });
  await openLive(page, "/desk");
  await scan(page, set.tag);
  await expect(page.getByRole("region", { name: `Set ${set.tag}` })).toContainText("Ready");
  await page.getByLabel("Name or booking").fill("Guest of cabin 4");
  await page.context().setOffline(true);
  const button = page.getByRole("button", { name: /^Hand out/ });
  await expect(button).toHaveAttribute("aria-disabled", "true");
  await button.focus();
  await page.keyboard.press("Enter");
  await expect(page.getByText(/^The connection is lost\. Nothing can be handed out/).first()).toBeVisible();
  await picture(page, "offline-desk");
  await page.context().setOffline(false);
  await expect(page.getByRole("status").filter({ hasText: /^Live$/ })).toBeVisible();
  const { rows } = await centre.database.ownerPool.query("SELECT FROM hire_line WHERE set_id = $1", [set.id]);
  expect(rows).toHaveLength(0);
});

test("the desk asked for without a network on a tablet that keeps the wash room says that nothing can be handed out", async ({ as, watch }) => {
  noNetwork(watch);
  const page = await as("wash-room");
  await openLive(page, "/wash-room");
  await keeps(page, []);
  await page.context().setOffline(true);
  await page.goto("/desk");
  await expect(page).toHaveURL(/\/away$/);
  await expect(page.getByText("Nothing can be handed out, taken back, released or called clean until the network is back.")).toBeVisible();
  await page.context().setOffline(false);
});

test("Hangrail can be put on a tablet's first screen", async ({ as }) => {
  const page = await as("nobody");
  await open(page, "/sign-in");
  const address = await page.locator("link[rel=manifest]").getAttribute("href");
  const answer = await page.request.get(address!);
  const manifest = (await answer.json()) as { start_url: string; icons: { src: string; sizes: string; type: string }[] };
  expect(manifest.start_url).toBe("/today");
  expect(manifest.icons.length).toBeGreaterThan(2);
  for (const { src, type } of manifest.icons) {
    const icon = await page.request.get(src);
    expect([src, icon.status(), icon.headers()["content-type"]?.split(";")[0]]).toEqual([src, 200, type]);
  }
});
