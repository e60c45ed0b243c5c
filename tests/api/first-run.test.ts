/** The first run: the one time that somebody without an account may set a centre up. */
import type { Database } from "@hangrail/db/database";
import { firstRun } from "@hangrail/db/people-acts";
import type pg from "pg";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { areWaiting, until } from "../races/rig.ts";
import { Browser, codeOf, failure, PASSWORD, PIN, secrets, serve } from "../support/api.ts";
import { freshDatabase } from "../support/database.ts";

// Each set-up hashes a password and a PIN at their full cost.
vi.setConfig({ testTimeout: 60_000 });

const CODE = "set-up code of this test";
const FIRST_RUN = { code: CODE, siteName: "Harbour Dive Centre", timeZone: "Europe/Malta", units: "metric", managerName: "Mira Holt", login: "mira", password: PASSWORD, pin: PIN } as const;

afterEach(() => vi.unstubAllEnvs());

describe("the first run", () => {
  let browser: () => Browser;
  let close: () => Promise<void>;
  let staff: () => Promise<number>;
  let owner: () => pg.Pool;
  let db: () => Database;
  beforeEach(async () => {
    vi.stubEnv("HANGRAIL_SETUP_CODE", CODE);
    const database = await freshDatabase();
    const served = serve(database.url);
    browser = () => new Browser(served);
    owner = () => database.ownerPool;
    db = () => served.db;
    close = () => served.close();
    staff = async () => (await database.ownerPool.query("SELECT FROM staff")).rowCount ?? 0;
  });
  afterEach(() => close());

  test("asks for the code, and sets nothing up without it", async () => {
    expect((await browser().api.session.whoAmI()).stage).toBe("first-run");
    const error = await failure(browser().api.session.firstRun({ ...FIRST_RUN, code: "a guess" }));
    expect(error).toMatchObject({ code: "FORBIDDEN", message: "That is not the set-up code. It is printed where Hangrail was started." });
    vi.stubEnv("HANGRAIL_SETUP_CODE", undefined);
    expect(await codeOf(browser().api.session.firstRun({ ...FIRST_RUN, code: "" }))).toBe("FORBIDDEN");
    expect(await codeOf(browser().api.session.firstRun({ ...FIRST_RUN, code: "undefined" }))).toBe("FORBIDDEN");
    expect(await staff()).toBe(0);
  });

  test("signs the manager in with every role, and happens once", async () => {
    const first = browser();
    await first.api.session.firstRun(FIRST_RUN);
    expect(await first.api.session.whoAmI()).toMatchObject({
      stage: "signed-in", site: { name: "Harbour Dive Centre", timeZone: "Europe/Malta" }, staff: { name: "Mira Holt", roles: ["desk", "manager", "technician", "wash-room"] },
    });
    const second = browser();
    expect(await failure(second.api.session.firstRun({ ...FIRST_RUN, login: "intruder" }))).toMatchObject({ code: "CONFLICT", message: "This centre is already set up. Please sign in." });
    expect(second.cookies).toBeNull();
    expect((await second.api.session.whoAmI()).stage).toBe("sign-in");
    expect(await staff()).toBe(1);
  });

  test("by two at once is won by one", async () => {
    const both = [browser(), browser()];
    const codes = await Promise.all(both.map((one, at) => codeOf(one.api.session.firstRun({ ...FIRST_RUN, siteName: `Centre ${at}`, login: `manager${at}` }))));
    expect(codes.sort()).toEqual(["CONFLICT", "answered"]);
    expect(await staff()).toBe(1);
    expect(both.filter((one) => one.cookies !== null)).toHaveLength(1);
  });

  test("by two in the very same instant is won by one", async () => {
    const holder = await owner().connect();
    await holder.query("BEGIN; LOCK TABLE staff IN ROW SHARE MODE");
    const both = [0, 1].map((at) => firstRun(db(), { name: `Centre ${at}`, timeZone: "Europe/Malta", units: "metric" }, { name: "Mira Holt", login: `manager${at}`, ...secrets() }));
    await until("two set-ups before the same door", () => areWaiting(owner(), 2));
    await holder.query("COMMIT");
    holder.release();
    expect((await Promise.all(both)).map(({ answer }) => answer).sort()).toEqual(["done", "refused"]);
    expect(await staff()).toBe(1);
  });

  test.each([
    ["password", "short", "password: A password has at least 10 characters; a short sentence is easy to remember."],
    ["password", "1234567890", "password: That password is too easy to guess."],
    ["password", "abababababab", "password: That password is too easy to guess."],
    ["password", "x".repeat(201), "password: A password has at most 200 characters."],
    ["pin", "12345", "pin: A PIN has six digits."],
    ["pin", "123456", "pin: That PIN is too easy to guess."],
    ["pin", "876543", "pin: That PIN is too easy to guess."],
    ["pin", "777777", "pin: That PIN is too easy to guess."],
    ["pin", "١٢٣٤٥٦", "pin: A PIN has six digits."],
    ["login", "Mira Holt", "login: A login name is 2 to 40 letters, digits, dots, hyphens."],
    ["timeZone", "Europe/Atlantis", "timeZone: That is no time zone we know, such as Europe/Lisbon."],
    ["timeZone", "+05:30", "timeZone: That is no time zone we know, such as Europe/Lisbon."],
    ["siteName", " ", "siteName: Please write something here."],
  ])("refuses the %s “%s” with a sentence", async (field, value, sentence) => {
    const error = await failure(browser().api.session.firstRun({ ...FIRST_RUN, [field]: value }));
    expect(error.code).toBe("BAD_REQUEST");
    expect(sentencesOf(error)).toContain(sentence);
    expect(await staff()).toBe(0);
  });
});

/** The sentences a screen is told for a refused input. */
function sentencesOf(error: Error): string[] {
  const { issues } = error.cause as { issues: { path: PropertyKey[]; message: string }[] };
  return issues.map(({ path, message }) => `${path.map(String).join(".")}: ${message}`);
}
