import { defineConfig } from "@playwright/test";
import { chromiumFlags, findChromium } from "../support/chromium.ts";

export default defineConfig({
  testDir: ".",
  testMatch: "*.spec.ts",
  outputDir: "artefacts/results",
  globalSetup: "./global-setup.ts",
  // A served app, a database and a browser for each: two fill two cores.
  workers: 2,
  retries: 0,
  forbidOnly: true,
  timeout: 60_000,
  expect: { timeout: 10_000 },
  reporter: [["list"]],
  use: {
    launchOptions: { executablePath: findChromium(), args: chromiumFlags() },
    trace: "off",
    locale: "en-GB",
    // Far from the centre's own zone and half an hour off: a day or an hour taken from the browser shows.
    timezoneId: "Australia/Lord_Howe",
    viewport: { width: 1280, height: 900 },
  },
});
