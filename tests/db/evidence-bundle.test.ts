/** A set's evidence bundle holds without Hangrail, also after names were erased, and does not when anything in it was changed. */
import { spawnSync } from "node:child_process";
import { generateKeyPairSync } from "node:crypto";
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { handOut, takeBack } from "@hangrail/db/acts";
import { addPhoto } from "@hangrail/db/bench-acts";
import { eraseHirers } from "@hangrail/db/checkpoints";
import { evidenceBundle } from "@hangrail/api/evidence-bundle";
import { asFile, checkpointKey, makeCheckpoint } from "@hangrail/api/checkpoints";
import { verifyRecord } from "@hangrail/api/verify-record";
import { zipOf } from "@hangrail/api/zip";
import { readNewestCheckpoints } from "@hangrail/db/checkpoints";
import { sha256 } from "@hangrail/db/sha256";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { aHire, backDry, done, makeKitRoom, type KitRoom, type RoomSet } from "../support/kit-room.ts";

const KEY = checkpointKey(generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());
const STRANGER = checkpointKey(generateKeyPairSync("ed25519").privateKey.export({ type: "pkcs8", format: "pem" }).toString());

let database: TestDatabase;
let room: KitRoom;
let set: RoomSet, plain: RoomSet;
let outside: string;
beforeAll(async () => {
  database = await freshDatabase();
  const made = await makeKitRoom(database, { sets: 5 });
  [room, set, plain] = [made, made.sets[0]!, made.sets[1]!];
  done(await handOut(room.db, room.by("desk"), aHire(await room.today(), { hirer: "Aurelia Quill", contact: "cabin 44" }), await room.seen([set])));
  done(await takeBack(room.db, room.by("desk"), [backDry(set.id, { dives: 2, minutes: 90, waterKind: "sea", problem: true, words: "Breathes <wet>", fault: { code: "SS-02", severity: "out", component: set.parts.primary } })]));
  const { rows } = await database.ownerPool.query<{ id: string }>("SELECT id FROM fault");
  done(await addPhoto(room.db, room.by("technician"), rows[0]!.id, "image/png", Buffer.from("a photograph")));
  done(await makeCheckpoint(room.db, KEY, null));
  outside = join(mkdtempSync(join(tmpdir(), "hangrail-checkpoint-")), "checkpoint.json");
  writeFileSync(outside, asFile((await readNewestCheckpoints(room.db, 1))[0]!));
  await room.wash([plain]).catch(() => undefined);
});
afterAll(() => room.db.close());

async function bundle(of = set, key: typeof KEY | null = KEY): Promise<Map<string, Buffer>> {
  const files = await evidenceBundle(room.db, { site: room.site, tag: of.tag, by: "Mira Holt", at: new Date("2026-06-01T08:00:00Z"), key });
  return new Map(files!);
}

/** Puts the files alone into an empty folder and has the script that came with them look at them. */
function checked(files: ReadonlyMap<string, Buffer>, ...more: string[]): { code: number | null; said: string } {
  const folder = mkdtempSync(join(tmpdir(), "hangrail-evidence-"));
  for (const [name, bytes] of files) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), bytes);
  }
  const { status, stdout, stderr } = spawnSync(process.execPath, ["verify.mjs", ...more], { cwd: folder, encoding: "utf8", env: {} });
  return { code: status, said: stdout + stderr };
}

const text = (files: ReadonlyMap<string, Buffer>, name: string): string => files.get(name)!.toString("utf8");
const put = (files: Map<string, Buffer>, name: string, value: string): Map<string, Buffer> => files.set(name, Buffer.from(value, "utf8"));
/** As somebody would who knows how: the manifest names the changed files, and the signature is gone or their own. */
function coveredUp(files: Map<string, Buffer>): Map<string, Buffer> {
  const manifest = JSON.parse(text(files, "manifest.json")) as { signed: boolean; files: Record<string, string> };
  for (const name of Object.keys(manifest.files)) manifest.files[name] = sha256([{ hex: files.get(name)!.toString("hex") }]);
  manifest.signed = false;
  files.delete("manifest.signature.json");
  return put(files, "manifest.json", JSON.stringify(manifest));
}

test("holds in an empty folder, with Node alone", async () => {
  const files = await bundle();
  const { code, said } = checked(files, "--checkpoint", outside);
  expect(said).toMatch(/ 0 failed$/m);
  expect(said).toMatch(/fingerprint ([0-9a-f]{4} ){4}[0-9a-f]{4}, covers \d+ of \d+ entries/);
  expect(code).toBe(0);
  expect([...files.keys()].sort()).toEqual(["entries.jsonl", "facts.json", "hirers.json", "manifest.json", "manifest.signature.json", "photos/001.png", "proof.json", "record.html", "verify.mjs"]);
});

test("is to be read as a page, with names for ids, and what somebody typed is text and nothing else", async () => {
  const page = text(await bundle(), "record.html");
  expect(page).toContain("Tove Stone");
  expect(page).toContain("Breathes &#60;wet&#62;");
  expect(page).not.toContain("<wet>");
  expect(page).toContain("photos/001.png");
});

test("without a key and without a checkpoint it holds still, and says what it cannot show", async () => {
  const { code, said } = checked(await bundle(plain, null));
  expect([code, said]).toEqual([0, expect.stringContaining("not signed")]);
});

describe("does not hold when", () => {
  const line = (change: (entry: Record<string, unknown>) => void, at: number) => (files: Map<string, Buffer>) => {
    const lines = text(files, "entries.jsonl").trimEnd().split("\n");
    const one = JSON.parse(lines[at]!) as { entry: Record<string, unknown> };
    change(one.entry);
    lines[at] = JSON.stringify(one);
    return put(files, "entries.jsonl", `${lines.join("\n")}\n`);
  };
  test.each<[string, (files: Map<string, Buffer>) => Map<string, Buffer>]>([
    ["a file was changed", (files) => put(files, "facts.json", "{}")],
    ["a file is missing", (files) => (files.delete("record.html"), files)],
    ["an entry was changed and the manifest with it", (files) => coveredUp(line((entry) => (entry["act"] = "cleaned"), 3)(files))],
    ["an entry was taken out", (files) => coveredUp(put(files, "entries.jsonl", text(files, "entries.jsonl").split("\n").toSpliced(4, 1).join("\n")))],
    ["the tail was cut off below the checkpoint", (files) => coveredUp(put(files, "entries.jsonl", text(files, "entries.jsonl").split("\n").slice(0, 6).join("\n")))],
    ["a photograph was exchanged", (files) => coveredUp(put(files, "photos/001.png", "another"))],
    ["a hirer was exchanged", (files) => coveredUp(put(files, "hirers.json", text(files, "hirers.json").replace("Aurelia Quill", "Somebody Else")))],
    ["the checkpoint's root was changed", (files) => coveredUp(put(files, "proof.json", text(files, "proof.json").replace(/"entries": \d+/, '"entries": 1')))],
    ["the path leads elsewhere", (files) => coveredUp(put(files, "proof.json", text(files, "proof.json").replace(/"index": \d+/, '"index": 99')))],
    ["the manifest was changed, though signed", (files) => put(files, "manifest.json", text(files, "manifest.json").replace("Mira Holt", "Nobody"))],
    ["the signature was taken away", (files) => (files.delete("manifest.signature.json"), files)],
  ])("%s", async (_, change) => {
    const { code, said } = checked(change(await bundle()));
    expect(said).toContain("FAILED");
    expect(code).toBe(1);
  });

  test("all of it was written anew and signed with another key, once it is held against a checkpoint kept elsewhere", async () => {
    const files = await bundle(set, STRANGER);
    expect(checked(files).said).toContain("another key than the checkpoint");
    const proof = JSON.parse(text(files, "proof.json")) as { checkpoint: { at: string } };
    expect(checked(coveredUp(put(files, "proof.json", JSON.stringify({ ...proof, checkpoint: { ...proof.checkpoint, at: "2027-01-01T00:00:00.000000Z" } }))), "--checkpoint", outside).code).toBe(1);
  });
});

test("another site has no such set", async () => {
  const elsewhere = await room.openSite("Lagoon Dive Centre");
  expect(await evidenceBundle(room.db, { site: elsewhere, tag: set.tag, by: "x", at: new Date(0), key: KEY })).toBeNull();
});

test("as one file it opens as any ZIP does", async () => {
  const files = await bundle();
  const folder = mkdtempSync(join(tmpdir(), "hangrail-zip-"));
  writeFileSync(join(folder, "b.zip"), zipOf(files));
  const opened = spawnSync("python3", ["-c", "import zipfile,sys\nz=zipfile.ZipFile('b.zip')\nassert z.testzip() is None\nz.extractall('out')"], { cwd: folder, encoding: "utf8" });
  expect([opened.status, opened.stderr]).toEqual([0, ""]);
  for (const [name, bytes] of files) expect(readFileSync(join(folder, "out", name))).toEqual(bytes);
});

describe("erasing a hirer's name", () => {
  const names = async () => (await database.ownerPool.query<{ name: string | null; contact: string | null; salt: Buffer | null }>("SELECT name, contact, salt FROM hirer")).rows;

  test("waits for the site's retention, and for a seal", async () => {
    expect(await eraseHirers(room.db, 100)).toBe(0);
    await room.clock.shift(60 * 24 * 31 * 23);
    // So long a silence is a leap: names are not taken under a clock in doubt.
    expect(await eraseHirers(room.db, 100)).toBe(0);
    await database.ownerPool.query("UPDATE clock_mark SET beat_at = kitroom_clock()");
    expect(await eraseHirers(room.db, 100)).toBe(0);
    await room.clock.shift(60 * 24 * 31 * 25);
    await database.ownerPool.query("UPDATE clock_mark SET beat_at = kitroom_clock()");
    const sealed = await database.ownerPool.connect();
    try {
      await sealed.query("BEGIN");
      await sealed.query("UPDATE regulator_set SET seq = seq + 1, evidence_seq = seq + 1 WHERE id = $1", [set.id]);
      expect((await sealed.query<{ erased: number }>("SELECT erase_hirers(100) AS erased")).rows).toEqual([{ erased: 0 }]);
    } finally {
      await sealed.query("ROLLBACK");
      sealed.release();
    }
    expect(await names()).toMatchObject([{ name: "Aurelia Quill" }]);
  });

  test("takes name, contact and salt, is recorded, and breaks no proof", async () => {
    expect(await eraseHirers(room.db, 100)).toBe(1);
    expect(await eraseHirers(room.db, 100)).toBe(0);
    expect(await names()).toEqual([{ name: null, contact: null, salt: null }]);
    const { rows } = await database.ownerPool.query("SELECT content FROM record_entry WHERE act = 'hirers-erased'");
    expect(rows).toHaveLength(1);
    expect(await verifyRecord(room.db, { site: null, key: KEY })).toMatchObject({ breaks: [], facts: [], checkpoints: { problems: [] }, sound: true });
    const files = await bundle();
    expect([...files.values()].some((bytes) => bytes.includes("Aurelia") || bytes.includes("cabin 44"))).toBe(false);
    const { code, said } = checked(files, "--checkpoint", outside);
    expect(said).toContain("1 hirer's name was erased");
    expect(code).toBe(0);
  });

  test("is the one change a hirer's row knows", async () => {
    for (const change of ["name = 'Again'", "created_at = now()", "erased_at = now()"]) {
      await expect(database.ownerPool.query(`UPDATE hirer SET ${change}`)).rejects.toMatchObject({ code: "HR409" });
    }
  });
});
