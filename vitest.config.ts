import { defineConfig } from "vitest/config";

// Half-hour summer time: what quietly assumes whole hours or the machine's own zone fails here.
const TZ = "Australia/Lord_Howe";
process.env["TZ"] = TZ;

// A busy machine is slow, not wrong: these only end what hangs.
const everywhere = { testTimeout: 60_000, hookTimeout: 120_000, env: { TZ, HANGRAIL_LOG: "error" }, setupFiles: ["tests/support/console-is-clean.ts"], restoreMocks: true };

export default defineConfig({
  test: {
    passWithNoTests: false,
    projects: [
      {
        // Pure: no database, so a rule's tests answer at once.
        test: {
          ...everywhere,
          name: "rules",
          include: ["packages/rules/src/**/*.test.ts", "apps/*/src/**/*.test.ts", "tests/{guards,reference}/**/*.test.ts"],
        },
      },
      {
        // One server for the run, one copy of the migrated database for each file.
        test: {
          ...everywhere,
          name: "database",
          include: ["packages/{db,api}/src/**/*.test.ts", "tests/{api,db,races}/**/*.test.ts"],
          globalSetup: ["tests/support/global-database.ts"],
        },
      },
      {
        // The built app over HTTP: each file serves a database of its own, one file at a time, for a server wants a core to itself.
        test: {
          ...everywhere,
          name: "http",
          include: ["tests/http/**/*.test.ts"],
          globalSetup: ["tests/support/global-database.ts"],
          fileParallelism: false,
        },
      },
      {
        // What is killed in the middle: a file at a time, for each has servers and proxies of its own.
        test: {
          ...everywhere,
          // Hundreds of rounds in the long form.
          testTimeout: 3_600_000,
          name: "crash",
          include: ["tests/crash/**/*.test.ts"],
          globalSetup: ["tests/support/global-database.ts"],
          fileParallelism: false,
        },
      },
    ],
  },
});
