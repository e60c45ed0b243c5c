/**
 * What every walk has: a centre of the file's own, people at their own browsers, and an eye on each
 * browser's console. A walk during which a page complained has failed, whatever else it saw.
 */
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test as base, type BrowserContext, type BrowserContextOptions, type Page } from "@playwright/test";
import type { StaffRole } from "@hangrail/db/people-acts";
import { SESSION_COOKIE, sessionToken } from "../support/sign-in.ts";
import { openCentre, type Centre, type Scene } from "./centre.ts";

export { expect } from "@playwright/test";

export interface Watch {
  /** Has a complaint that the walk causes on purpose forgiven, e.g. the browser's own line about a refused call. */
  forgive(complaint: RegExp): void;
  /** Listens to a context. */
  over(context: BrowserContext): void;
}

/** A page at which the person of that role, or of that id, is signed in. */
type As = (who: StaffRole | "nobody" | { readonly staff: string }, how?: BrowserContextOptions) => Promise<Page>;

export const test = base.extend<{ watch: Watch; as: As }, { scene: Scene; centre: Centre }>({
  scene: [{ readySets: 6 }, { option: true, scope: "worker" }],

  // A file that names its scene gets a worker, a server and a database of its own.
  centre: [
    async ({ scene }, use) => {
      const centre = await openCentre(scene);
      await use(centre);
      await centre.close();
    },
    { scope: "worker", timeout: 120_000 },
  ],

  baseURL: async ({ centre }, use) => {
    await use(centre.app.origin);
  },

  watch: [
    async ({ centre }, use) => {
      const complaints: string[] = [];
      const forgiven: RegExp[] = [];
      const note = (complaint: string) => void complaints.push(complaint);
      await use({
        forgive: (complaint) => void forgiven.push(complaint),
        over(context) {
          context.on("console", (message) => {
            if (message.type() === "error" || message.type() === "warning") note(`${message.type()}: ${message.text()} (${message.location().url})`);
          });
          context.on("weberror", (error) => note(`thrown: ${String(error.error())}`));
          context.on("request", (request) => {
            if (!request.url().startsWith(centre.app.origin) && !/^(data|blob|about):/.test(request.url())) note(`asked another server: ${request.url()}`);
          });
          context.on("response", (response) => {
            if (response.status() >= 500) note(`${response.status()}: ${response.url()}`);
          });
        },
      });
      expect(complaints.filter((complaint) => !forgiven.some((one) => one.test(complaint)))).toEqual([]);
    },
    { auto: true },
  ],

  context: async ({ context, watch }, use) => {
    watch.over(context);
    await use(context);
  },

  as: async ({ browser, centre, baseURL, watch }, use) => {
    const opened: BrowserContext[] = [];
    await use(async (who, how = {}) => {
      const context = await browser.newContext({ ...(baseURL === undefined ? {} : { baseURL }), ...how });
      opened.push(context);
      watch.over(context);
      if (who !== "nobody") await signInto(context, centre, typeof who === "string" ? centre.room.people[who] : who.staff);
      return context.newPage();
    });
    for (const context of opened) await context.close();
  },
});

/** Gives a context the session of a person, without the way over the sign-in page. */
export async function signInto(context: BrowserContext, centre: Centre, staff: string): Promise<void> {
  const token = await sessionToken(centre.room.db, staff, centre.room.site);
  await context.addCookies([{ name: SESSION_COOKIE, value: token, url: centre.app.origin, httpOnly: true, sameSite: "Strict" }]);
}

const keyGapSeconds = 0.008;

/** Types as a scanner does, eight milliseconds a key and Enter at the end, into whatever has the focus. Enter may come twice. */
export async function scan(page: Page, text: string, enters = 1): Promise<void> {
  const keys = await page.context().newCDPSession(page);
  // The times are the scanner's, not those of a busy test machine.
  let at = Date.now() / 1000;
  const sent: Promise<unknown>[] = [];
  const press = (key: object) => {
    at += keyGapSeconds;
    sent.push(keys.send("Input.dispatchKeyEvent", { type: "keyDown", timestamp: at, ...key }), keys.send("Input.dispatchKeyEvent", { type: "keyUp", timestamp: at, ...key }));
  };
  for (const character of text) press({ key: character, text: character });
  for (let n = 0; n < enters; n += 1) press({ key: "Enter", code: "Enter", text: "\r", windowsVirtualKeyCode: 13 });
  await Promise.all(sent);
  await keys.detach();
}

/** Opens a page and waits until its script has taken it over: before that a press or a scan is nobody's. */
export async function open(page: Page, path: string): Promise<void> {
  await page.goto(path);
  await takenOver(page);
}

/** React marks each element it looks after; parts of a page are taken over one after the other. */
export async function takenOver(page: Page): Promise<void> {
  await page.waitForFunction(() => {
    const controls = [...document.querySelectorAll("main button, main input, main select, main textarea, main a")];
    // Every page has a link at least; a page without one has not arrived yet.
    return controls.length > 0 && controls.every((control) => Object.keys(control).some((key) => key.startsWith("__reactProps")));
  });
}

/** Opens a page and waits until its live stream is heard as well: what happens from now on is seen. */
export async function openLive(page: Page, path: string): Promise<void> {
  await open(page, path);
  await expect(page.getByRole("status").filter({ hasText: /^Live$/ })).toBeVisible();
}

/** A picture for people to look at. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = fileURLToPath(new URL("./artefacts/", import.meta.url));
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: `${folder}${name}.png`, fullPage: true });
}
