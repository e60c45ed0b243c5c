/** Signing in: what opens a session, what never does, and what ends one. */
import { setPolicy } from "@hangrail/db/people-acts";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import { codeOf, failure, makeApiRoom, PASSWORD, PIN, procedures, secrets, type ApiRoom, type Browser } from "../support/api.ts";
import { done } from "../support/kit-room.ts";

// Passwords set through the procedures are hashed at their full cost, by intent half a second each.
vi.setConfig({ testTimeout: 60_000 });

afterEach(() => vi.unstubAllEnvs());

describe("in a running centre", () => {
  let at: ApiRoom;
  beforeAll(async () => {
    at = await makeApiRoom({ secrets: secrets() });
  });
  afterAll(() => at.close());
  beforeEach(async () => {
    await at.owner.query("DELETE FROM attempt_limit");
  });

  const signIn = (browser: Browser, login: string, password = PASSWORD) => browser.api.session.signIn({ login, password });
  const whose = async (browser: Browser): Promise<string | null> => (await browser.api.session.whoAmI()).staff?.name ?? null;

  /** A browser enrolled as a shared device, with nobody signed in. */
  async function tablet(name = "Desk tablet"): Promise<Browser> {
    const browser = at.browser();
    await signIn(browser, "mira");
    await browser.api.session.enrolDevice({ name });
    await browser.api.session.signOut();
    return browser;
  }
  const newest = async (table: "device" | "session"): Promise<string> =>
    (await at.owner.query<{ id: string }>(`SELECT id FROM ${table} ORDER BY ${table === "device" ? "enrolled_at" : "opened_at"} DESC LIMIT 1`)).rows[0]!.id;

  test("the right password opens a session, however the login name is typed", async () => {
    const browser = at.browser();
    expect(await browser.api.session.signIn({ login: "  DINA ", password: PASSWORD })).toEqual({ answer: "done" });
    expect(await whose(browser)).toBe("Dina Marsh");
  });

  test("a wrong password and a login nobody has are told the same, and neither sets a cookie", async () => {
    const browser = at.browser();
    const wrong = await failure(signIn(browser, "dina", "not her password"));
    const unknown = await failure(signIn(browser, "nobody", PASSWORD));
    expect({ code: unknown.code, message: unknown.message }).toEqual({ code: wrong.code, message: wrong.message });
    expect(wrong).toMatchObject({ code: "UNAUTHORIZED", message: "The login name or the password is wrong." });
    expect(browser.sent).toEqual([]);
  });

  test("a closed person is told the same as one who never was", async () => {
    const manager = await at.as("manager");
    const added = await manager.api.people.add({ name: "Gone", login: "gone", password: PASSWORD, pin: PIN, roles: ["desk"] });
    if (added.answer !== "done") throw new Error("not added");
    const theirs = at.browser();
    await signIn(theirs, "gone");
    expect(await whose(theirs)).toBe("Gone");
    await manager.api.people.close({ staffId: added.staff });
    expect(await whose(theirs)).toBeNull();
    expect(await failure(signIn(at.browser(), "gone"))).toMatchObject({ code: "UNAUTHORIZED", message: "The login name or the password is wrong." });
    const shared = await tablet();
    expect(await codeOf(shared.api.session.switchPerson({ staffId: added.staff, pin: PIN }))).toBe("UNAUTHORIZED");
  });

  test("a token known before sign-in is worth nothing after it", async () => {
    const browser = at.browser();
    const planted = "planted-by-somebody-else";
    browser.setCookie("hangrail_session", planted);
    await signIn(browser, "dina");
    expect(browser.cookie("hangrail_session")).not.toBe(planted);
    const thief = at.browser();
    thief.setCookie("hangrail_session", planted);
    expect(await whose(thief)).toBeNull();

    const first = browser.cookie("hangrail_session");
    await signIn(browser, "tove");
    expect(browser.cookie("hangrail_session")).not.toBe(first);
    thief.setCookie("hangrail_session", first);
    expect(await whose(thief)).toBeNull();
    expect(await whose(browser)).toBe("Tove Stone");
  });

  test("the change of person by PIN gives a new token and ends the old one", async () => {
    const shared = await tablet();
    const { people } = await shared.api.session.whoAmI();
    expect(people.map(({ name }) => name)).toEqual(["Dina Marsh", "Mira Holt", "Tove Stone", "Wim Brook"]);
    await shared.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN });
    expect(await whose(shared)).toBe("Dina Marsh");
    const dinas = shared.cookie("hangrail_session");
    await shared.api.session.switchPerson({ staffId: at.room.people.technician, pin: PIN });
    expect(await whose(shared)).toBe("Tove Stone");
    shared.setCookie("hangrail_session", dinas);
    expect(await whose(shared)).toBeNull();
  });

  test("signing out ends the session itself, not only the cookie", async () => {
    const browser = at.browser();
    await signIn(browser, "dina");
    const kept = browser.cookie("hangrail_session");
    await browser.api.session.signOut();
    expect(browser.cookie("hangrail_session")).toBeUndefined();
    browser.setCookie("hangrail_session", kept);
    expect(await whose(browser)).toBeNull();
    expect(await codeOf(browser.api.today.summary())).toBe("UNAUTHORIZED");
  });

  test("a session of one device is nobody's on another, nor without its device", async () => {
    const [one, other] = [await tablet("One"), await tablet("Other")];
    await one.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN });
    const taken = one.cookie("hangrail_session");
    other.setCookie("hangrail_session", taken);
    expect(await whose(other)).toBeNull();
    const plain = at.browser();
    plain.setCookie("hangrail_session", taken);
    expect(await whose(plain)).toBeNull();
    expect(await codeOf(plain.api.desk.outNow())).toBe("UNAUTHORIZED");
    expect(await whose(one)).toBe("Dina Marsh");
  });

  test("a revoked device is signed out and takes no PIN any more", async () => {
    const shared = await tablet("Lost tablet");
    const deviceId = await newest("device");
    await shared.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN });
    await (await at.as("manager")).api.people.revokeDevice({ deviceId });
    expect(await whose(shared)).toBeNull();
    expect(await shared.api.session.whoAmI()).toMatchObject({ device: null, people: [] });
    expect(await failure(shared.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN }))).toMatchObject({ code: "FORBIDDEN", message: "This device is not enrolled. Sign in with your password." });
  });

  test("a PIN is of use on enrolled devices of the person's own site alone", async () => {
    expect(await codeOf(at.browser().api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN }))).toBe("FORBIDDEN");
    const site = await at.room.openSite("Quarry Dive Centre");
    const chief = await at.signedIn(at.room.people.manager, site);
    await chief.api.session.enrolDevice({ name: "Quarry tablet" });
    await chief.api.session.signOut();
    // The right PIN of a person without a role there is told the same as one of nobody.
    const refused = await failure(chief.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN }));
    const absent = await failure(chief.api.session.switchPerson({ staffId: "0190a3c4-7c1e-4b5e-9f00-6a2b8c9d0e1f", pin: PIN }));
    expect({ code: refused.code, message: refused.message }).toEqual({ code: absent.code, message: absent.message });
    expect(await whose(chief)).toBeNull();
  });

  test("cookies are out of reach of scripts and other sites, and bound to https where there is https", async () => {
    const browser = at.browser();
    await signIn(browser, "mira");
    await browser.api.session.enrolDevice({ name: "Plain tablet" });
    expect(browser.sent).toEqual([
      expect.stringMatching(/^hangrail_session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=43200$/),
      expect.stringMatching(/^hangrail_device=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=34560000$/),
    ]);
    vi.stubEnv("HANGRAIL_ORIGIN", "https://kitroom.example");
    const secure = at.browser();
    await signIn(secure, "mira");
    await secure.api.session.enrolDevice({ name: "Secure tablet" });
    await secure.api.session.signOut();
    expect(secure.sent).toEqual([
      expect.stringMatching(/^__Host-hangrail_session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=43200; Secure$/),
      expect.stringMatching(/^__Host-hangrail_device=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=34560000; Secure$/),
      "__Host-hangrail_session=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0; Secure",
    ]);
    // A cookie without the prefix, as a neighbour on plain http could plant it, is not read there.
    expect(await whose(browser)).toBeNull();
  });

  describe("wrong tries", () => {
    const noted = async (kind: string): Promise<number> => (await at.owner.query("SELECT FROM security_log WHERE kind = $1", [kind])).rowCount ?? 0;
    const dina = () => at.room.people.desk;

    test("of a PIN, sixty at once, are not looked at past the tenth, and lock the person on that device alone", async () => {
      const [shared, other] = [await tablet("Busy tablet"), await tablet("Calm tablet")];
      const before = await noted("wrong-pin");
      const guess = (pin: string) => codeOf(shared.api.session.switchPerson({ staffId: dina(), pin }));
      let evaluated = 0;
      for (let round = 0; round < 8; round += 1) {
        const codes = await Promise.all(Array.from({ length: 60 }, (_, n) => guess(String(300_000 + round * 60 + n))));
        evaluated += codes.filter((code) => code === "UNAUTHORIZED").length;
        expect(codes.every((code) => code === "UNAUTHORIZED" || code === "TOO_MANY_REQUESTS")).toBe(true);
        await at.room.clock.advance(10);
      }
      expect(evaluated).toBe(10);
      expect(await noted("wrong-pin")).toBe(before + 10);
      expect(await failure(shared.api.session.switchPerson({ staffId: dina(), pin: PIN }))).toMatchObject({
        code: "TOO_MANY_REQUESTS", message: "This PIN is locked on this device. Sign in with your password, or ask a manager for a new PIN.",
      });
      await shared.api.session.switchPerson({ staffId: at.room.people.technician, pin: PIN });
      expect(await whose(shared)).toBe("Tove Stone");
      await other.api.session.switchPerson({ staffId: dina(), pin: PIN });
      expect(await whose(other)).toBe("Dina Marsh");

      // Her password shows who she is: the PIN serves again on that device.
      await signIn(shared, "dina");
      await shared.api.session.signOut();
      await shared.api.session.switchPerson({ staffId: dina(), pin: PIN });
      expect(await whose(shared)).toBe("Dina Marsh");
    });

    test("make each next one wait longer, by the database's clock", async () => {
      const shared = await tablet("Waiting tablet");
      const guess = async (): Promise<string> => (await failure(shared.api.session.switchPerson({ staffId: dina(), pin: "300000" }))).message;
      await at.room.clock.stopAt((await at.room.clock.read()).toISOString());
      for (let tries = 1; tries <= 4; tries += 1) expect(await guess()).toBe("That PIN is wrong.");
      for (const seconds of [5, 10, 20, 40, 80, 160]) {
        expect(await guess()).toBe(`Too many wrong tries. Wait ${seconds} seconds.`);
        await at.room.clock.advance((seconds - 1) / 60);
        expect(await guess()).toBe("Too many wrong tries. Wait 1 seconds.");
        await at.room.clock.advance(1 / 60);
        expect(await guess()).toBe("That PIN is wrong.");
      }
      await at.room.clock.advance(24 * 60);
      expect(await guess()).toMatch(/^This PIN is locked on this device/);
      const { rows } = await at.owner.query<{ minutes: number }>("SELECT (extract(epoch FROM stopped_at - clock_timestamp()) / 60)::int AS minutes FROM test_clock");
      await at.room.clock.shift(rows[0]!.minutes);
    });

    test("of a password lock the login for a quarter of an hour, right or wrong", async () => {
      for (let tries = 0; tries < 10; tries += 1) {
        await at.room.clock.advance(6);
        expect(await codeOf(signIn(at.browser(), "wim", "a wrong password"))).toBe("UNAUTHORIZED");
      }
      expect(await failure(signIn(at.browser(), "wim"))).toMatchObject({ code: "TOO_MANY_REQUESTS", message: "Too many wrong tries. Wait a quarter of an hour, or ask a manager for a new password." });
      await at.room.clock.advance(16);
      expect(await codeOf(signIn(at.browser(), "wim"))).toBe("answered");
    });

    test("are forgiven when a manager gives a new password, which also ends the sessions there were", async () => {
      const old = at.browser();
      await signIn(old, "wim");
      for (let tries = 0; tries < 10; tries += 1) {
        await at.room.clock.advance(6);
        await codeOf(signIn(at.browser(), "wim", "a wrong password"));
      }
      await (await at.as("manager")).api.people.resetSecret({ staffId: at.room.people["wash-room"], password: "a new tub in the yard" });
      expect(await whose(old)).toBeNull();
      expect(await codeOf(signIn(at.browser(), "wim", "a new tub in the yard"))).toBe("answered");
      expect(await codeOf(signIn(at.browser(), "wim", PASSWORD))).toBe("UNAUTHORIZED");
    });
  });

  test("one's own password is changed with the present one, and every other session ends", async () => {
    const [here, elsewhere] = [at.browser(), at.browser()];
    await signIn(here, "tove");
    await signIn(elsewhere, "tove");
    expect(await failure(here.api.session.changeSecret({ current: "not it", password: "lamps along the mole" }))).toMatchObject({ code: "UNAUTHORIZED", message: "Your present password is wrong." });
    await here.api.session.changeSecret({ current: PASSWORD, password: "lamps along the mole" });
    expect(await whose(here)).toBe("Tove Stone");
    expect(await whose(elsewhere)).toBeNull();
    expect(await codeOf(signIn(at.browser(), "tove"))).toBe("UNAUTHORIZED");
    expect(await codeOf(signIn(at.browser(), "tove", "lamps along the mole"))).toBe("answered");
  });

  describe("time, by the database's clock", () => {
    test("a PIN session idles out after ten minutes, one by password after an hour; acts put it off", async () => {
      const shared = await tablet("Idle tablet");
      await shared.api.session.switchPerson({ staffId: at.room.people.desk, pin: PIN });
      const own = await at.signedIn(at.room.people.desk);
      await at.room.clock.advance(9);
      // What a screen asks by itself is no sign of life; a hand on it is.
      await shared.api.session.stillHere();
      await at.room.clock.advance(9);
      expect(await whose(shared)).toBe("Dina Marsh");
      await shared.api.desk.lookUp({ tags: ["R-001"], hire: null });
      await at.room.clock.advance(1.1);
      expect(await whose(shared)).toBeNull();
      expect(await whose(own)).toBe("Dina Marsh");
      await at.room.clock.advance(42);
      expect(await whose(own)).toBeNull();
    });

    test("no session lives past twelve hours, however busy", async () => {
      const own = await at.signedIn(at.room.people.desk);
      for (let half = 0; half < 23; half += 1) {
        await at.room.clock.advance(30);
        await own.api.session.stillHere();
      }
      await at.room.clock.advance(29);
      expect(await whose(own)).toBe("Dina Marsh");
      await at.room.clock.advance(1.1);
      expect(await whose(own)).toBeNull();
    });
  });

  describe("a chain of sites", () => {
    test("a person chooses among the sites where they hold a role", async () => {
      const site = await at.room.openSite("Lagoon Dive Centre");
      const browser = at.browser();
      await signIn(browser, "mira");
      const before = browser.cookie("hangrail_session");
      expect((await browser.api.session.whoAmI()).sites.map(({ name }) => name)).toContain("Lagoon Dive Centre");
      await browser.api.session.chooseSite({ siteId: site });
      expect(await browser.api.session.whoAmI()).toMatchObject({ site: { id: site }, staff: { roles: ["manager"] } });
      expect(browser.cookie("hangrail_session")).not.toBe(before);
      expect(await codeOf(browser.api.desk.lookUp({ tags: ["R-001"], hire: null }))).toBe("FORBIDDEN");

      const desk = await at.signedIn(at.room.people.desk);
      expect(await failure(desk.api.session.chooseSite({ siteId: site }))).toMatchObject({ code: "FORBIDDEN", message: "You have no role at that site." });
      expect((await desk.api.session.whoAmI()).site?.id).toBe(at.room.site);
    });

    test("a shared device stays at its site", async () => {
      const site = await at.room.openSite("Reef Dive Centre");
      const shared = await tablet("Bound tablet");
      await shared.api.session.switchPerson({ staffId: at.room.people.manager, pin: PIN });
      expect(await failure(shared.api.session.chooseSite({ siteId: site }))).toMatchObject({ code: "FORBIDDEN", message: "This device belongs to one site. Use your own computer for another." });
    });
  });

  test("the clock's doubt is told to everybody who looks", async () => {
    done(await setPolicy(at.room.db, at.room.by("manager"), { shelfMonths: 12 }));
    await at.room.clock.advance(-120);
    const { clock } = await at.browser().api.session.whoAmI();
    expect(clock).toMatchObject({ ok: false, sentence: expect.stringMatching(/^The server's clock shows .+, but something was recorded at .+\. Hand-outs are held/) as string });
    await at.room.clock.advance(120);
    expect((await at.browser().api.session.whoAmI()).clock).toEqual({ ok: true, sentence: null });
  });

  test("no answer of any query carries a hash or a token", async () => {
    const browser = at.browser();
    await signIn(browser, "mira");
    await browser.api.session.enrolDevice({ name: "Last tablet" });
    const answers = await Promise.all(procedures().filter(({ type, input }) => type === "query" && input === null).map(({ path }) => browser.call(path, undefined)));
    expect(answers.length).toBeGreaterThan(12);
    const text = JSON.stringify(answers);
    expect(text).not.toMatch(/scrypt\$|hash/i);
    for (const name of ["hangrail_session", "hangrail_device"]) expect(text).not.toContain(browser.cookie(name));
  });
});
