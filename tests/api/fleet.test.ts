/** A fleet in from a shop's own sheet and out again: every problem named, all or nothing, and nothing made ready by paper. */
import { readFileSync } from "node:fs";
import type { SheetAnswersInput, SheetFile } from "@hangrail/api/fleet";
import { contextFor } from "@hangrail/api/context";
import { appRouter } from "@hangrail/api/router";
import { readSheet, writeSheet } from "@hangrail/api/spreadsheet";
import { acceptBenchLimits } from "@hangrail/db/bench-acts";
import { addDays, day } from "@hangrail/rules/calendar";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { aRequest, codeOf, digestOf, makeApiRoom, rowCounts, terms, type ApiRoom, type Caller } from "../support/api.ts";
import { AMPLE, AMPLE_FIRST, done } from "../support/kit-room.ts";

vi.setConfig({ testTimeout: 60_000 });

let at: ApiRoom;
let manager: Caller;
beforeEach(async () => {
  at = await makeApiRoom({ stoppedAt: "2026-11-25T10:00:00Z" });
  manager = (await at.as("manager")).api;
});
afterEach(() => at.close());

const TAB = "fleet-tab-utf8-mark.txt";
const GERMAN = "fleet-semicolon-windows-1252.csv";
const bytesOf = (name: string): Buffer => readFileSync(new URL(`../support/sheets/${name}`, import.meta.url));

function sheet(name: string, answers: SheetAnswersInput = {}, kind: "fleet" | "history" = "fleet", bytes: Uint8Array = bytesOf(name)): SheetFile {
  return { kind, fileName: name, file: Buffer.from(bytes).toString("base64"), answers };
}
const record = (file: SheetFile, by: Caller = manager) => by.fleet.record({ requestId: aRequest(), sheet: file });

async function check(file: SheetFile) {
  const answer = await manager.fleet.check(file);
  if (answer.answer !== "judged") throw new Error(answer.sentence);
  return answer;
}
/** Row counts of every table but that of imports, which notes each try. */
const counts = () => rowCounts(at.owner, ["import_job", "session", "security_log", "attempt_limit"]);
const facts = () => digestOf(at.owner, ["import_job", "session", "security_log", "attempt_limit", "clock_mark", "test_clock"]);
const jobs = async () => (await manager.fleet.imports()).map(({ fileName, phase, rowsTotal, rowsDone, finishedAt }) => ({ fileName, phase, rowsTotal, rowsDone, finished: finishedAt !== null }));

describe("a sheet is judged", () => {
  test("cell by cell: each problem with its row, its column and a sentence, and nothing is recorded", async () => {
    const before = await facts();
    const bad = sheet("fleet-comma-bad-cells.csv");
    const answer = await check(bad);
    expect(answer).toMatchObject({ verdict: "problems", allProblems: 13, counts: { rows: 15, newRows: 0 } });
    expect(answer.problems.map(({ row, column, code }) => `${row}${column} ${code}`)).toEqual([
      "3I date-impossible", "4K number-about", "5H date-future", "6F date-too-old", "7B set-doubled", "8E empty", "9E part-twice", "10A tag-form", "11C empty", "12E serial-mangled",
      "13O number-negative", "14L workbook-error", "15K number-not-whole",
    ]);
    for (const { row, column, header, sentence } of answer.problems) expect(sentence).toMatch(new RegExp(`^Row ${row}, column ${column}, “${header}”: .+[.?]$`));
    expect(answer.questions.map(({ code, column }) => [code, column])).toEqual([["date-order", "G"]]);
    expect(await record(bad)).toMatchObject({ answer: "judged", verdict: "problems" });
    expect(await facts()).toBe(before);
    expect(await jobs()).toEqual([{ fileName: "fleet-comma-bad-cells.csv", phase: "refused", rowsTotal: 15, rowsDone: 0, finished: true }]);

    const { file } = await manager.fleet.problems(bad);
    const read = readSheet(Buffer.from(file, "base64"));
    expect(read.ok && read.sheet.rows.map(([row, column]) => `${row}${column}`)).toEqual(answer.problems.map(({ row, column }) => `${row}${column}`));
  });

  test("with its questions, and taken in once they are answered", async () => {
    const open = await check(sheet(GERMAN));
    expect(open).toMatchObject({ verdict: "questions", problems: [], questions: [{ code: "date-order", header: "Inbetriebnahme", choices: ["day-first", "month-first"] }] });
    const before = await facts();
    expect(await record(sheet(GERMAN))).toMatchObject({ answer: "judged", verdict: "questions" });
    expect(await facts()).toBe(before);
    const answered = sheet(GERMAN, { dateOrder: "day-first" });
    expect(await check(answered)).toMatchObject({ verdict: "ready", counts: { newRows: 20, blankRows: 1 } });
    expect(await record(answered)).toMatchObject({ answer: "done", newRows: 20, alreadyHere: 0, newSets: 4 });
    const { parts } = await manager.sets.one({ tag: "R-01" });
    expect(parts.find(({ role }) => role === "gauge")).toMatchObject({ maker: "Müller & Söhne", serial: "F0041", servicedOn: "2026-02-03", inspectedOn: null, totalDives: 301, divesSinceService: 62 });
  });

  test.each([
    ["a workbook", Buffer.from("PK\u0003\u0004rest"), /workbook file/],
    ["a PDF", Buffer.from("%PDF-1.7"), /PDF/],
    ["zero bytes", Buffer.from([65, 0, 66]), /zero bytes/],
    ["nothing", Buffer.alloc(0), /is empty/],
  ])("unless it is %s: then a sentence says so", async (_, bytes, sentence) => {
    const before = await facts();
    const answer = await manager.fleet.check(sheet("fleet.csv", {}, "fleet", bytes));
    expect(answer).toMatchObject({ answer: "unreadable", sentence: expect.stringMatching(sentence) as unknown });
    expect(await record(sheet("fleet.csv", {}, "fleet", bytes))).toEqual(answer);
    expect((await jobs())[0]).toMatchObject({ phase: "refused", finished: true });
    expect(await facts()).toBe(before);
  });
});

describe("a sheet is recorded", () => {
  test("and the same sheet again changes nothing", async () => {
    expect(await record(sheet(TAB))).toMatchObject({ answer: "done", newRows: 11, newSets: 2 });
    const [rows, digest] = [await counts(), await facts()];
    expect(await check(sheet(TAB))).toMatchObject({ verdict: "ready", counts: { newRows: 0, alreadyHere: 11 }, summary: expect.stringContaining("Already here: 11 rows.") as unknown });
    expect(await record(sheet(TAB))).toMatchObject({ answer: "done", newRows: 0, alreadyHere: 11, newSets: 0 });
    expect(await counts()).toEqual(rows);
    expect(await facts()).toBe(digest);
    expect((await jobs()).map(({ phase }) => phase)).toEqual(["done", "done"]);
  });

  test("by two at once counts once", async () => {
    const answers = await Promise.all([record(sheet(TAB)), record(sheet(TAB))]);
    expect(answers.some(({ answer }) => answer === "done")).toBe(true);
    expect(await counts()).toMatchObject({ regulator_set: 2, component: 11 });
  });

  test("and comes out as a sheet of which everything is here already", async () => {
    await record(sheet(TAB));
    await record(sheet(GERMAN, { dateOrder: "day-first" }));
    const out = await manager.fleet.export();
    expect(out).toMatchObject({ fileName: "fleet-2026-11-25.csv", rows: 31 });
    const again = sheet(out.fileName, {}, "fleet", Buffer.from(out.file, "base64"));
    expect(await check(again)).toMatchObject({ verdict: "ready", problems: [], questions: [], counts: { rows: 31, newRows: 0, alreadyHere: 31 } });
    const digest = await facts();
    expect(await record(again)).toMatchObject({ answer: "done", newRows: 0, alreadyHere: 31 });
    expect(await facts()).toBe(digest);
  });

  test("whole or not at all: a failure in its last row leaves no row", async () => {
    const before = [await counts(), await facts()];
    // The last row of the sheet is the spare transmitter.
    await at.owner.query("ALTER TABLE component ADD CONSTRAINT planted CHECK (serial <> 'BT-00912')");
    expect(await codeOf(record(sheet(TAB)))).toBe("INTERNAL_SERVER_ERROR");
    expect([await counts(), await facts()]).toEqual(before);
    expect((await jobs())[0]).toMatchObject({ phase: "failed", finished: true });
    await at.owner.query("ALTER TABLE component DROP CONSTRAINT planted");
    expect(await record(sheet(TAB))).toMatchObject({ answer: "done", newRows: 11 });
  });

  test("not at all when the record moved on between the judgement and the recording", async () => {
    const technician = (await at.as("technician")).api;
    // Somebody registers the tag BAY-08 in the moment before the rows are written.
    const meanwhile = async (): Promise<void> => {
      const modelId = at.room.models.first;
      await technician.sets.register({ requestId: aRequest(), tag: "BAY-08", parts: [{ modelId, serial: "Other", position: "first-stage", boughtOn: null, inUseOn: null }] });
    };
    const browser = await at.as("manager");
    const { db } = at.served;
    const longJobs = Object.assign(Object.create(db.longJobs) as typeof db.longJobs, { connect: async () => (await meanwhile(), db.longJobs.connect()) });
    const caller = appRouter.createCaller(await contextFor({ ...at.served, db: { ...db, longJobs } }, browser.cookies, new Headers()));
    const answer = await record(sheet(TAB), caller);
    if (answer.answer !== "clash") throw new Error(`It answered ${answer.answer}.`);
    expect(answer.problems).toContainEqual({ row: 7, tag: "BAY-08", serial: "KA5501", code: "position-taken" });
    expect(answer.problems).toContainEqual({ row: 11, tag: "BAY-08", serial: null, code: "set-recorded" });
    expect(await counts()).toMatchObject({ regulator_set: 1, component: 1 });
    expect((await jobs())[0]).toMatchObject({ phase: "refused", finished: true });
  });

  test("not into another site's set", async () => {
    await record(sheet(TAB));
    const other = await at.room.openSite("Lake Dive Centre");
    const there = (await at.signedIn(at.room.people.manager, other)).api;
    const before = await facts();
    expect((await record(sheet(TAB), there)).answer).not.toBe("done");
    expect(await facts()).toBe(before);
    expect(await there.fleet.export()).toMatchObject({ rows: 0 });
    expect(await there.fleet.imports()).toHaveLength(1);
  });
});

describe("a recorded set", () => {
  /** Accepts limits for every model that has none, as a technician with the manuals would. */
  async function acceptAll(by: Caller): Promise<void> {
    for (const { id, kind, limits } of await by.models.list()) {
      if (limits === null) await by.models.acceptLimits({ requestId: aRequest(), modelId: id, limits: kind === "first-stage" ? AMPLE_FIRST : AMPLE });
    }
  }
  const holds = async (tag: string) => (await (await at.as("desk")).api.desk.lookUp({ tags: [tag], hire: null })).sets[0]!.holds.map(({ code }) => code);

  test("is not judged until its limits are accepted, and goes the whole way to a hand-out", async () => {
    // The hose of BAY-07 was serviced, but nobody counted its dives since.
    const counted = bytesOf(TAB).toString("utf8").replace("2026-11-20\t-\t-\t?\t?\t?\t?\t190", "2026-11-20\t2026-06-15\t2026-06-15\t?\t?\t?\t?\t190");
    expect(counted).not.toBe(bytesOf(TAB).toString("utf8"));
    expect(await record(sheet(TAB, {}, "fleet", Buffer.from(counted)))).toMatchObject({ answer: "done" });
    const technician = (await at.as("technician")).api;
    expect(await holds("BAY-07")).toEqual([...Array<string>(5).fill("not-judged"), "not-released", "not-clean", "pairing", "pairing"]);
    expect((await technician.today.summary()).notJudged.map(({ name }) => name).sort()).toEqual(["Anchor", "Anchor O", "Anchor S", "Dial 400", "Feed 60"]);

    await acceptAll(technician);
    // Limits in dives of a part whose dives nobody counted cannot be judged before its next service.
    expect(await holds("BAY-07")).toEqual(["not-judged", "not-released", "not-clean", "pairing", "pairing"]);
    const { parts, setId } = await technician.sets.one({ tag: "BAY-07" });
    const hose = parts.find(({ role }) => role === "inflator-hose")!;
    const models = await technician.models.list();
    const model = (name: string) => models.find((one) => one.name === name)!.id;
    for (const name of ["Anchor S", "Anchor O"]) await technician.models.setPairing({ firstModelId: model("Anchor"), secondModelId: model(name), approved: true, manualPage: "Table 2" });
    expect(await holds("BAY-07")).toEqual(["not-judged", "not-released", "not-clean"]);

    const release = () => technician.bench.release({ requestId: aRequest(), setIds: [setId], words: "Tested at both pressures" });
    const service = () => technician.bench.recordWork({ requestId: aRequest(), setId, kind: "service", components: [hose.id], oxygenClean: false, words: "New coupling" });
    expect(await service()).toMatchObject({ answer: "refused", code: "not-authorised" });
    for (const maker of ["Kelpline", "Brackwater Instruments"]) {
      await manager.people.authorise({ staffId: at.room.people.technician, maker, oxygenClean: false, from: day("2026-01-01"), until: day("2027-12-31"), evidence: "Course" });
    }
    expect(await service()).toEqual({ answer: "done" });
    expect(await holds("BAY-07")).toEqual(["not-released", "not-clean"]);
    expect(await release()).toMatchObject({ answer: "lacks", sets: [{ tag: "BAY-07", lacks: [{ code: "test", last: null }] }] });
    const page = "Manual, page 31";
    const pressures = [{ name: "intermediate-pressure", low: 900, high: 1_000, page }, { name: "creep", low: null, high: 30, page }] as const;
    const efforts = [{ name: "cracking-effort-primary", low: 200, high: 320, page }, { name: "cracking-effort-alternate", low: 300, high: 500, page }] as const;
    done(await acceptBenchLimits(at.room.db, at.room.by("technician"), model("Anchor"), pressures));
    for (const name of ["Anchor S", "Anchor O"]) done(await acceptBenchLimits(at.room.db, at.room.by("technician"), model(name), efforts));
    await at.room.test([{ id: setId }]);
    expect(await release()).toEqual({ answer: "done" });

    const wash = (await at.as("wash-room")).api.washRoom;
    const tub = await wash.mixBath({ requestId: aRequest(), productId: at.room.product, label: "Tub", lot: null, productMl: 100, waterMl: 9_900 });
    if (tub.answer !== "done") throw new Error("not mixed");
    expect(await wash.startRun({ requestId: aRequest(), bathId: tub.bath, tags: ["BAY-07"] })).toMatchObject({ answer: "refused", reasons: Array(5).fill({ code: "product-not-allowed" }) });
    await technician.washRoom.approveProduct({ productId: at.room.product, modelIds: parts.map(({ modelId }) => modelId), manualPage: "Care sheet" });
    const run = await wash.startRun({ requestId: aRequest(), bathId: tub.bath, tags: ["BAY-07"] });
    if (run.answer !== "done") throw new Error("not started");
    await at.room.clock.advance(10);
    await wash.endWet({ requestId: aRequest(), runId: run.run });
    await at.room.clock.advance(30);
    await wash.finish({ requestId: aRequest(), runId: run.run, setIds: [setId], rinsed: true, purgedUnderPressure: true, dry: true });

    expect(await holds("BAY-07")).toEqual([]);
    const desk = (await at.as("desk")).api.desk;
    const { seq } = (await desk.lookUp({ tags: ["BAY-07"], hire: null })).sets[0]!;
    const backOn = addDays(await at.room.today(), 3);
    expect(await desk.handOut({ requestId: aRequest(), hirer: "Guest", contact: null, hire: terms(backOn), sets: [{ setId, seq }] })).toMatchObject({ answer: "done" });
  });

  test("brings its counts: what is left is what the sheet leaves", async () => {
    await record(sheet(TAB));
    await acceptAll((await at.as("technician")).api);
    const { parts } = await manager.sets.one({ tag: "BAY-07" });
    expect(parts[0]).toMatchObject({ totalDives: 190, divesSinceService: 44, servicedOn: "2026-06-15", lastUsedOn: "2026-11-20", due: { service: { divesLeft: 256, dueOn: "2028-06-15" }, inspection: { divesLeft: 106, dueOn: "2027-06-15" } } });
  });
});

describe("a sheet of past work", () => {
  const HISTORY = "history-semicolon-windows-1252.csv";

  test("is refused while the parts are not recorded, then taken in once, and releases nothing", async () => {
    expect(await check(sheet(HISTORY, {}, "history"))).toMatchObject({ verdict: "problems", problems: [{ code: "part-unknown" }, {}, {}, {}] });
    await record(sheet(GERMAN, { dateOrder: "day-first" }));
    expect(await check(sheet(HISTORY, {}, "history"))).toMatchObject({ verdict: "ready", problems: [] });
    expect(await record(sheet(HISTORY, {}, "history"))).toMatchObject({ answer: "done" });
    const tag = (await manager.sets.board({ search: "N1-0041", states: [], modelId: null, sort: "tag", descending: false, page: 0, size: 1 })).rows[0]!.tag;
    const { parts, holds } = await manager.sets.one({ tag });
    const first = parts.find(({ role }) => role === "first-stage")!;
    expect(first.work.map(({ kind, doneOn, imported }) => [kind, doneOn, imported])).toEqual([["inspection", "2026-08-17", true], ["service", "2026-02-03", true], ["service", "2025-01-18", true]]);
    expect(first.work[2]).toMatchObject({ divesAt: 120, words: "by Ole Petri: Dichtsatz 2" });
    // Older work than the last service changes nothing of what is due.
    expect(first).toMatchObject({ servicedOn: "2026-02-03", divesSinceService: 62 });
    expect(holds.map(({ code }) => code)).toContain("not-released");

    const [rows, digest] = [await counts(), await facts()];
    expect(await record(sheet(HISTORY, {}, "history"))).toMatchObject({ answer: "done" });
    expect(await counts()).toEqual(rows);
    expect(await facts()).toBe(digest);
  });
});

test("twenty thousand rows are recorded whole, with their progress", { timeout: 300_000 }, async () => {
  const header = ["Set tag", "Position", "Maker", "Model", "Serial", "Bought on", "In use on", "Last used on", "Serviced on", "Dives since service", "Total dives"];
  const positions = [["first stage", "Keel 1"], ["primary", "Keel 2"], ["alternate", "Keel 2"], ["gauge", "Keel G"]] as const;
  const rows = Array.from({ length: 20_000 }, (_, n) => {
    const [position, model] = positions[n % 4]!;
    return [`Q-${String(Math.floor(n / 4) + 1).padStart(4, "0")}`, position, "Copperfin", model, `S${String(n).padStart(6, "0")}`, "2024-05-20", "2024-06-01", "2026-11-20", "2026-06-15", 40, 190];
  });
  const big = sheet("big.csv", {}, "fleet", writeSheet(header, rows));
  const began = performance.now();
  expect(await record(big)).toMatchObject({ answer: "done", newRows: 20_000, newSets: 5_000 });
  const seconds = ((performance.now() - began) / 1_000).toFixed(1);
  process.stdout.write(`20,000 rows recorded in ${seconds} s\n`);
  expect(await jobs()).toEqual([{ fileName: "big.csv", phase: "done", rowsTotal: 20_000, rowsDone: 20_000, finished: true }]);
  expect(await counts()).toMatchObject({ regulator_set: 5_000, component: 20_000, fitting: 20_000, component_work: 20_000 });
  expect(await manager.sets.one({ tag: "Q-5000" })).toMatchObject({ state: "to-release", parts: Array(4).fill({ totalDives: 190, divesSinceService: 40 }) });
});
