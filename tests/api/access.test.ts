/** Who may call what: every procedure, everybody who is somebody, and nobody. A change of access is a change of this table. */
import { contextFor } from "@hangrail/api/context";
import { appRouter } from "@hangrail/api/router";
import { addPerson, closePerson, endSession, setRoles, ROLES_OF_STAFF, type StaffRole } from "@hangrail/db/people-acts";
import type { Change, ChangeFeed } from "@hangrail/db/live";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { codeOf, failure, makeApiRoom, procedures, type ApiRoom, type Browser } from "../support/api.ts";
import { done } from "../support/kit-room.ts";

/** "anyone", "signed-in", or the roles that may call it. */
const ACCESS: Readonly<Record<string, string>> = {
  "bench.queue": "technician manager",
  "bench.reportFault": "signed-in",
  "bench.clearFault": "desk technician",
  "bench.recordWork": "technician",
  "bench.release": "technician",
  "bench.toRelease": "technician manager",
  "bench.releaseCheck": "technician manager",
  "bench.shelf": "technician manager",
  "bench.refit": "technician",
  "benchTests.form": "technician manager",
  "benchTests.record": "technician",
  "benchTests.past": "technician manager",
  "desk.lookUp": "desk",
  "desk.instead": "desk",
  "desk.handOut": "desk",
  "desk.takeBack": "desk",
  "desk.outNow": "desk manager",
  "desk.slip": "desk manager",
  "faults.severities": "signed-in",
  "faults.tune": "manager",
  "faults.confirm": "technician",
  "faults.addPhoto": "signed-in",
  "fleet.check": "technician manager",
  "fleet.record": "technician manager",
  "fleet.imports": "technician manager",
  "fleet.export": "technician manager",
  "fleet.columns": "technician manager",
  "fleet.problems": "technician manager",
  "assembly.judge": "signed-in",
  "gauges.list": "technician manager",
  "gauges.add": "technician manager",
  "gauges.calibrate": "technician manager",
  "gauges.retire": "technician manager",
  "kits.list": "technician manager",
  "kits.movements": "technician manager",
  "kits.forService": "technician manager",
  "kits.keep": "technician manager",
  "kits.move": "technician manager",
  "kits.order": "technician manager",
  "kits.closeOrder": "technician manager",
  "live.changes": "signed-in",
  "models.list": "signed-in",
  "models.history": "signed-in",
  "models.add": "technician manager",
  "models.acceptLimits": "technician",
  "models.pairings": "signed-in",
  "models.setPairing": "technician",
  "models.manual": "signed-in",
  "models.gaps": "signed-in",
  "models.acceptBenchLimits": "technician",
  "models.acceptBuild": "technician",
  "models.acceptKits": "technician",
  "people.list": "manager",
  "people.add": "manager",
  "people.setRoles": "manager",
  "people.resetSecret": "manager",
  "people.close": "manager",
  "people.authorise": "manager",
  "people.devices": "manager",
  "people.revokeDevice": "manager",
  "plan.outlook": "technician manager",
  "plan.forecastsHeld": "technician manager",
  "plan.bookings": "desk technician manager",
  "plan.makeBookings": "desk manager",
  "plan.bookingsFromSheet": "desk manager",
  "plan.bookingsFromPastHires": "desk manager",
  "plan.withdrawBooking": "desk manager",
  "plan.setBenchHours": "manager",
  "plan.solve": "manager",
  "plan.price": "manager",
  "plan.weekChoices": "manager",
  "plan.accept": "manager",
  "plan.orderList": "technician manager",
  "plan.orderListSheet": "technician manager",
  "plan.morningSheet": "desk manager",
  "plan.calendars": "technician manager",
  "plan.openCalendar": "technician manager",
  "plan.revokeCalendar": "technician manager",
  "session.whoAmI": "anyone",
  "session.firstRun": "anyone",
  "session.signIn": "anyone",
  "session.switchPerson": "anyone",
  "session.signOut": "anyone",
  "session.stillHere": "signed-in",
  "session.chooseSite": "signed-in",
  "session.enrolDevice": "manager",
  "session.changeSecret": "signed-in",
  "setLife.record": "signed-in",
  "setLife.picture": "signed-in",
  "sets.board": "signed-in",
  "sets.outOfService": "signed-in",
  "sets.tags": "signed-in",
  "sets.one": "signed-in",
  "sets.life": "signed-in",
  "sets.register": "technician manager",
  "sets.retire": "manager",
  "sets.transfer": "manager",
  "site.get": "signed-in",
  "site.setPolicy": "manager",
  "site.confirmClock": "manager",
  "site.backups": "manager",
  "restored.waiting": "manager",
  "restored.confirm": "manager",
  "restored.confirmAll": "manager",
  "site.open": "manager",
  "today.summary": "signed-in",
  "notices.list": "technician manager",
  "notices.preview": "technician manager",
  "notices.clear": "technician",
  "evidence.lift": "manager",
  "notices.one": "technician manager",
  "notices.open": "technician manager",
  "record.verify": "manager",
  "record.checkpoints": "manager",
  "record.makeCheckpoint": "manager",
  "record.correct": "technician manager",
  "evidence.ofSet": "signed-in",
  "evidence.noteCustody": "technician manager",
  "costs.models": "technician manager",
  "costs.setMoney": "manager",
  "costs.setModel": "manager",
  "trends.afterService": "technician manager",
  "trends.choices": "technician manager",
  "trends.rates": "technician manager",
  "trends.months": "technician manager",
  "trends.codes": "technician manager",
  "trends.behind": "technician manager",
  "washRoom.queue": "wash-room technician manager",
  "washRoom.products": "wash-room technician manager",
  "washRoom.mixBath": "wash-room",
  "washRoom.emptyBath": "wash-room",
  "washRoom.mayGoIn": "wash-room",
  "washRoom.startRun": "wash-room",
  "washRoom.endWet": "wash-room",
  "washRoom.finish": "wash-room",
  "washRoom.enterLate": "wash-room",
  "washRoom.abandon": "wash-room",
  "washRoom.breathTested": "desk wash-room technician",
  "washRoom.acceptProduct": "technician manager",
  "washRoom.approveProduct": "technician",
  "workOrders.queue": "technician manager",
  "workOrders.one": "technician manager",
  "workOrders.ofSet": "technician manager",
  "workOrders.open": "technician manager",
  "workOrders.take": "technician",
  "workOrders.park": "technician",
  "workOrders.resume": "technician",
  "workOrders.finish": "technician",
  "workOrders.drop": "technician manager",
};

const OPEN = ["session.firstRun", "session.signIn", "session.signOut", "session.switchPerson", "session.whoAmI"];

let at: ApiRoom;
beforeAll(async () => {
  at = await makeApiRoom({ recheckMs: 0 });
  // The manager of the room holds every role; the matrix wants one who is a manager and nothing else.
  done(await setRoles(at.room.db, at.room.by("manager"), at.room.people.manager, ["manager"]));
});
afterAll(() => at.close());

/** Calls a procedure with no input at all: what gets past the guard is answered, or asked for its input. */
async function knock(browser: Browser, path: string): Promise<"nobody" | "forbidden" | "in"> {
  const call = browser.call(path, undefined).then((answer) => (isStream(answer) ? answer.return(undefined) : answer));
  const code = await codeOf(call);
  if (code === "UNAUTHORIZED") return "nobody";
  if (code === "FORBIDDEN") return "forbidden";
  if (code === "answered" || code === "BAD_REQUEST") return "in";
  throw new Error(`${path} answered ${code}`);
}

function isStream(answer: unknown): answer is AsyncGenerator {
  return typeof answer === "object" && answer !== null && Symbol.asyncIterator in answer;
}

// Signing out comes last, so that everything before it is asked while signed in.
const paths = procedures().map(({ path }) => path).sort((a, b) => Number(a === "session.signOut") - Number(b === "session.signOut"));

test("every procedure states who may call it, as the table says", () => {
  const stated = procedures().map(({ path, access }) => [path, typeof access === "object" ? ROLES_OF_STAFF.filter((role) => access.includes(role)).join(" ") : (access ?? "unstated")]);
  expect(Object.fromEntries(stated)).toEqual(ACCESS);
});

test("the open procedures are exactly those of signing in", () => {
  expect(procedures().filter(({ access }) => access === "anyone").map(({ path }) => path).sort()).toEqual(OPEN);
});

test("nobody gets into anything but the open procedures", async () => {
  const found: Record<string, string> = {};
  for (const path of paths) found[path] = await knock(at.browser(), path);
  expect(found).toEqual(Object.fromEntries(paths.map((path) => [path, ACCESS[path] === "anyone" ? "in" : "nobody"])));
});

test.each(ROLES_OF_STAFF)("the role %s alone opens what the table says and nothing else", async (role) => {
  const browser = await at.signedIn(at.room.people[role]);
  const found: Record<string, string> = {};
  for (const path of paths) found[path] = await knock(browser, path);
  const granted = (path: string): boolean => ["anyone", "signed-in"].includes(ACCESS[path]!) || ACCESS[path]!.split(" ").includes(role);
  expect(found).toEqual(Object.fromEntries(paths.map((path) => [path, granted(path) ? "in" : "forbidden"])));
});

test("a refusal for want of a role is noted, and names the role", async () => {
  const noted = async (): Promise<number> => (await at.owner.query("SELECT FROM security_log WHERE kind = 'not-entitled' AND detail->>'path' = 'desk.outNow'")).rowCount ?? 0;
  const before = await noted();
  const error = await failure((await at.as("technician")).api.desk.outNow());
  expect(error.message).toBe("This needs the role desk or manager at Harbour Dive Centre.");
  expect(await noted()).toBe(before + 1);
});

describe("what is withdrawn acts at once", () => {
  async function newcomer(name: string, ...roles: StaffRole[]): Promise<{ staff: string; browser: Browser }> {
    const { staff } = done(await addPerson(at.room.db, at.room.by("manager"), { name, login: name.toLowerCase(), passwordHash: "none", pinHash: null }, roles));
    return { staff, browser: await at.signedIn(staff) };
  }

  test("one role of two", async () => {
    const { staff, browser } = await newcomer("Ada", "desk", "technician");
    expect(await knock(browser, "desk.outNow")).toBe("in");
    done(await setRoles(at.room.db, at.room.by("manager"), staff, ["technician"]));
    expect(await knock(browser, "desk.outNow")).toBe("forbidden");
    expect(await knock(browser, "bench.queue")).toBe("in");
    done(await setRoles(at.room.db, at.room.by("manager"), staff, ["desk", "technician"]));
    expect(await knock(browser, "desk.outNow")).toBe("in");
  });

  test("the last role", async () => {
    const { staff, browser } = await newcomer("Bea", "desk");
    done(await setRoles(at.room.db, at.room.by("manager"), staff, []));
    expect(await knock(browser, "today.summary")).toBe("nobody");
  });

  test("a closed person", async () => {
    const { staff, browser } = await newcomer("Cleo", "desk");
    done(await closePerson(at.room.db, at.room.by("manager"), staff));
    expect(await knock(browser, "today.summary")).toBe("nobody");
  });
});

describe("a live screen", () => {
  /** A feed in the hands of the test. */
  function handFeed(): ChangeFeed & { tell(change: Change): void } {
    const listeners = new Set<(change: Change) => void>();
    return {
      hear(listener) {
        listeners.add(listener);
        return () => listeners.delete(listener);
      },
      tell: (change) => listeners.forEach((listener) => listener(change)),
      close: () => Promise.resolve(),
    };
  }
  const change = (act: string): Change => ({ site: at.room.site, act });

  async function openStream(browser: Browser, recheckMs: number, signal?: AbortSignal) {
    const feed = handFeed();
    const room = { ...at.served, feed, recheckMs };
    const caller = appRouter.createCaller(await contextFor(room, browser.cookies, new Headers()), signal && { signal });
    const stream = (await caller.live.changes())[Symbol.asyncIterator]() as AsyncIterator<readonly [string, { readonly act: string }]>;
    // A generator listens once it has been asked for the first time.
    const first = stream.next();
    return { feed, stream, first };
  }
  const sessionOf = async (staff: string): Promise<string> =>
    (await at.owner.query<{ id: string }>("SELECT id FROM session WHERE staff_id = $1 AND ended_at IS NULL ORDER BY opened_at DESC LIMIT 1", [staff])).rows[0]!.id;

  test("hears its own site and no other", async () => {
    const { feed, stream, first } = await openStream(await at.signedIn(at.room.people.desk), 3_600_000);
    feed.tell({ site: "00000000-0000-4000-8000-000000000000", act: "elsewhere" });
    feed.tell(change("handed-out"));
    expect((await first).value?.[1]).toEqual({ act: "handed-out" });
    await stream.return?.();
  });

  test("of a session that has ended falls silent, also while the site is busy", async () => {
    const { feed, stream, first } = await openStream(await at.signedIn(at.room.people.desk), 0);
    feed.tell(change("one"));
    feed.tell(change("two"));
    expect((await first).value?.[1].act).toBe("one");
    expect((await stream.next()).value?.[1].act).toBe("two");
    await endSession(at.room.db, await sessionOf(at.room.people.desk));
    // There is always a change waiting, so no pause in which to look.
    feed.tell(change("three"));
    feed.tell(change("four"));
    expect(await stream.next()).toMatchObject({ done: true });
  });

  test("of a session that has ended falls silent when nothing happens", async () => {
    const { stream, first } = await openStream(await at.signedIn(at.room.people.technician), 0);
    await endSession(at.room.db, await sessionOf(at.room.people.technician));
    expect(await first).toMatchObject({ done: true });
    await stream.return?.();
  });

  test("that is closed by the browser stops listening", async () => {
    const closed = new AbortController();
    const { first } = await openStream(await at.signedIn(at.room.people.desk), 3_600_000, closed.signal);
    closed.abort();
    expect(await first).toMatchObject({ done: true });
  });

  test("past twenty of one person opens no more", async () => {
    const browser = await at.signedIn(at.room.people["wash-room"]);
    const open = await Promise.all(Array.from({ length: 20 }, () => openStream(browser, 3_600_000)));
    const oneTooMany = await openStream(browser, 3_600_000);
    expect(await oneTooMany.first).toMatchObject({ done: true });
    for (const { feed } of open) feed.tell(change("released"));
    await Promise.all(open.map(async ({ first, stream }) => {
      expect((await first).value?.[1].act).toBe("released");
      await stream.return?.();
    }));
    const again = await openStream(browser, 3_600_000);
    again.feed.tell(change("cleaned"));
    expect((await again.first).value?.[1].act).toBe("cleaned");
    await again.stream.return?.();
  });
});
