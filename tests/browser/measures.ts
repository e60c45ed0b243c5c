/** What a page is measured by: axe, its width, the size of what is pressed, the focus that is seen. */
import { AxeBuilder } from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { expect } from "./walk.ts";

const STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
/** Everything that is pressed, in px; the first act of a screen is larger. */
const LEAST = 48;
const LEAST_BY_SIZE: Readonly<Record<string, number>> = { desk: 72, wash: 112 };

/** No violation of any standard, and text that is read in sunlight: 7:1. */
export async function expectAccessible(page: Page): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).withTags(STANDARDS).options({ rules: { "color-contrast-enhanced": { enabled: true } } }).analyze();
  expect(violations.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes.slice(0, 4).map(({ target, failureSummary }) => `${target.join(" ")} (${failureSummary?.split("\n")[1]?.trim() ?? ""})`).join("; ")}`)).toEqual([]);
}

/** Nothing sticks out to the side. */
export async function expectNoSidewaysScroll(page: Page): Promise<void> {
  const found = await page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    const out = document.documentElement.scrollWidth <= width ? [] : [...document.querySelectorAll("body *")].filter((element) => element.getBoundingClientRect().right > width + 1);
    return { scrollWidth: document.documentElement.scrollWidth, width, out: out.slice(0, 5).map((element) => `${element.tagName.toLowerCase()}.${element.className} "${element.textContent?.slice(0, 40)}"`) };
  });
  expect(found).toEqual({ scrollWidth: expect.any(Number), width: found.width, out: [] });
  expect(found.scrollWidth).toBeLessThanOrEqual(found.width);
}

/** Everything pressed is large enough for wet fingers. Links inside a sentence are as high as their line. */
export async function expectLargeTargets(page: Page): Promise<void> {
  const small = await page.evaluate(
    ({ least, leastBySize }) => {
      const found: string[] = [];
      for (const element of document.querySelectorAll<HTMLElement>("a, button, input, select, textarea, summary, [role=button]")) {
        const isPicker = element instanceof HTMLInputElement && ["checkbox", "radio"].includes(element.type);
        // A box to tick is pressed anywhere on its label.
        const pressed = isPicker ? (element.closest("label") ?? element) : element;
        const box = pressed.getBoundingClientRect();
        const style = getComputedStyle(pressed);
        if (box.width <= 1 || box.height <= 1 || style.visibility === "hidden" || !pressed.checkVisibility() || pressed.closest("[inert]") !== null) continue;
        const isOffScreen = box.bottom <= 0 || box.right <= 0;
        const isInSentence = pressed instanceof HTMLAnchorElement && style.display === "inline" && (pressed.parentElement?.textContent?.trim().length ?? 0) > (pressed.textContent?.trim().length ?? 0);
        if (isOffScreen || isInSentence) continue;
        const isFirstAct = pressed.dataset["tone"] === "primary";
        const height = isFirstAct ? (leastBySize[pressed.dataset["size"] ?? ""] ?? least) : least;
        if (box.height < height - 0.5 || box.width < least - 0.5) found.push(`${pressed.tagName.toLowerCase()} "${pressed.textContent?.trim().slice(0, 40)}" ${Math.round(box.width)} x ${Math.round(box.height)}, at least ${least} x ${height}`);
      }
      return found;
    },
    { least: LEAST, leastBySize: LEAST_BY_SIZE },
  );
  expect(small).toEqual([]);
}

/** No label runs out of what it stands on, and no field is too narrow to read what is written in it. */
export async function expectNothingCut(page: Page): Promise<void> {
  const cut = await page.evaluate(() => {
    const found: string[] = [];
    for (const element of document.querySelectorAll<HTMLElement>("main button, main .button, main label, main .tinted, main .sheet, main td, main th, main dd")) {
      if (!element.checkVisibility() || element.clientWidth <= 1) continue;
      if (getComputedStyle(element).display !== "inline" && element.scrollWidth > element.clientWidth + 1) found.push(`${element.tagName.toLowerCase()} "${element.textContent?.trim().slice(0, 40)}" needs ${element.scrollWidth}, has ${element.clientWidth}`);
    }
    for (const field of document.querySelectorAll<HTMLInputElement>("main input, main select, main textarea")) {
      const width = field.getBoundingClientRect().width;
      if (field.checkVisibility() && !["checkbox", "radio", "file"].includes(field.type) && width > 1 && width < 88) found.push(`field "${field.name || field.id}" is ${Math.round(width)} wide`);
    }
    return found;
  });
  expect(cut).toEqual([]);
}

/** Walks a page by Tab from its beginning: each stop is seen, ringed, and not under the bars. Answers what was stopped at. */
export async function walkByTab(page: Page): Promise<string[]> {
  const stops: string[] = [];
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  for (let n = 0; n < 200; n += 1) {
    await page.keyboard.press("Tab");
    const stop = await page.evaluate(() => {
      const focused = document.activeElement as HTMLElement | null;
      if (focused === null || focused === document.body || focused.dataset["walked"] !== undefined) return null;
      focused.dataset["walked"] = "";
      const isPicker = focused instanceof HTMLInputElement && ["checkbox", "radio"].includes(focused.type);
      const label = isPicker ? focused.closest("label") : null;
      const box = (label ?? focused).getBoundingClientRect();
      const rings = [focused, ...(label === null ? [] : [label])].some((element) => {
        const style = getComputedStyle(element);
        return style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) >= 2;
      });
      const x = Math.min(Math.max(box.x + box.width / 2, 1), innerWidth - 2);
      const y = box.y + box.height / 2;
      const top = document.elementFromPoint(x, y);
      const isCovered = top === null || !(focused.contains(top) || top.contains(focused) || (label?.contains(top) ?? false));
      return { name: `${focused.tagName.toLowerCase()} "${(focused.getAttribute("aria-label") ?? focused.textContent ?? "").trim().slice(0, 40)}"`, rings, isCovered };
    });
    if (stop === null) return stops;
    expect(stop).toEqual({ name: stop.name, rings: true, isCovered: false });
    stops.push(stop.name);
  }
  throw new Error(`Tab never came round; the last stops were ${stops.slice(-5).join(", ")}`);
}
