/** Where the browser tests find a Chromium, and how it is started here. */
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { chromium } from "@playwright/test";

/** What `findChromium` asks of the machine, so that a test can stand in for it. */
export interface Machine {
  readonly env: Readonly<Record<string, string | undefined>>;
  exists(path: string): boolean;
  /** Where Playwright's own install would lie. */
  playwrightsOwn(): string;
  /** Whether apt-get is here and this user may use it. */
  mayInstall(): boolean;
  /** Runs apt-get once; false when it failed. */
  install(): boolean;
}

const usualPlaces = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/usr/bin/google-chrome-stable",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];
const debians = "/usr/bin/chromium";

/**
 * The path of a Chromium: CHROMIUM_PATH, one that is installed, Playwright's own; as root on Debian it is
 * installed when there is none.
 *
 * Errors: an Error whose sentence names every place that was looked at and what to do.
 */
export function findChromium(machine: Machine = thisMachine): string {
  const named = machine.env["CHROMIUM_PATH"];
  if (named !== undefined && named !== "") {
    if (machine.exists(named)) return named;
    throw new Error(`CHROMIUM_PATH is "${named}", and there is no such file.`);
  }
  const places = [...usualPlaces, machine.playwrightsOwn()];
  const found = places.find((place) => place !== "" && machine.exists(place));
  if (found !== undefined) return found;
  const mayInstall = machine.mayInstall();
  if (mayInstall && machine.install() && machine.exists(debians)) return debians;
  throw new Error(
    `The browser tests need Chromium or Chrome. Looked for ${places.filter((place) => place !== "").join(", ")}` +
      `${mayInstall ? "; apt-get install chromium did not help" : ""}. ` +
      "Install Chromium (Debian: apt-get install chromium), or npx playwright install chromium, or set CHROMIUM_PATH to one.",
  );
}

/** Quiet, without network of its own; root gets no sandbox, for Chromium refuses to run otherwise. */
export function chromiumFlags(isRoot: boolean = process.getuid?.() === 0): string[] {
  const flags = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
  return isRoot ? ["--no-sandbox", ...flags] : flags;
}

const thisMachine: Machine = {
  env: process.env,
  exists: existsSync,
  playwrightsOwn() {
    try {
      return chromium.executablePath();
    } catch {
      return ""; // Playwright knows no build for this system.
    }
  },
  mayInstall: () => process.getuid?.() === 0 && existsSync("/usr/bin/apt-get"),
  install() {
    console.log("Installing Chromium for the browser tests: apt-get install chromium …");
    const apt = (...args: string[]) => spawnSync("apt-get", args, { stdio: "ignore", env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" } }).status === 0;
    return apt("update") && apt("install", "-y", "--no-install-recommends", "chromium");
  },
};
