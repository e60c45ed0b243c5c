import { expect, test } from "vitest";
import { chromiumFlags, findChromium, type Machine } from "../support/chromium.ts";

const bare: Machine = { env: {}, exists: () => false, playwrightsOwn: () => "/home/x/pw/chrome", mayInstall: () => false, install: () => false };

test("the one that is named comes first, and has to be there", () => {
  expect(findChromium({ ...bare, env: { CHROMIUM_PATH: "/opt/chromium" }, exists: (path) => path === "/opt/chromium" })).toBe("/opt/chromium");
  expect(() => findChromium({ ...bare, env: { CHROMIUM_PATH: "/opt/chromium" } })).toThrow('CHROMIUM_PATH is "/opt/chromium", and there is no such file.');
});

test("then one that is installed, then Playwright's own", () => {
  expect(findChromium({ ...bare, exists: (path) => path === "/usr/bin/google-chrome" || path === "/home/x/pw/chrome" })).toBe("/usr/bin/google-chrome");
  expect(findChromium({ ...bare, exists: (path) => path === "/home/x/pw/chrome" })).toBe("/home/x/pw/chrome");
});

test("root on Debian has it installed once; where that fails, a sentence says what was tried and what to do", () => {
  let installed = 0;
  const debian: Machine = { ...bare, mayInstall: () => true, exists: (path) => path === "/usr/bin/chromium" && installed > 0, install: () => ++installed > 0 };
  expect(findChromium(debian)).toBe("/usr/bin/chromium");
  expect(findChromium(debian)).toBe("/usr/bin/chromium");
  expect(installed).toBe(1);
  expect(() => findChromium({ ...bare, mayInstall: () => true })).toThrow(/\/usr\/bin\/chromium.*\/home\/x\/pw\/chrome.*did not help.*CHROMIUM_PATH/);
  expect(() => findChromium(bare)).toThrow(/npx playwright install chromium/);
});

test("only root goes without the sandbox", () => {
  expect(chromiumFlags(true)).toContain("--no-sandbox");
  expect(chromiumFlags(false)).not.toContain("--no-sandbox");
});
