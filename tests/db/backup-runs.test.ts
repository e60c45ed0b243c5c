/** The daily backup, what is told of it, and a backup that comes back as an embedded database in a folder. */
import { mkdirSync, mkdtempSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { checkBackup } from "@hangrail/db/backup/restore-backup";
import { restoreFolder } from "@hangrail/db/backup/restore-folder";
import { backupIfDue, runBackup } from "@hangrail/db/backup/runs";
import { readBackupNews } from "@hangrail/db/backup-news";
import { openDatabase, type Database } from "@hangrail/db/database";
import { firstRun } from "@hangrail/db/people-acts";
import { startServer } from "@hangrail/db/server/embedded-server";
import pg from "pg";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { freshDatabase, type TestDatabase } from "../support/database.ts";
import { done } from "../support/kit-room.ts";

let database: TestDatabase;
let db: Database;
beforeAll(async () => {
  database = await freshDatabase();
  db = openDatabase({ appUrl: database.url, actConnections: 2, readConnections: 2 });
  done(await firstRun(db, { name: "Harbour", timeZone: "Europe/Malta", units: "metric" }, { name: "Mira", login: "mira", passwordHash: "x", pinHash: null }));
});
afterAll(() => db.close());

const newFolder = (): string => mkdtempSync(join(tmpdir(), "hangrail-runs-"));
/** Time goes by: the runs so far are that much longer ago. */
async function later(hours: number): Promise<void> {
  await database.ownerPool.query("ALTER TABLE backup_run DISABLE TRIGGER USER");
  await database.ownerPool.query("UPDATE backup_run SET started_at = started_at - make_interval(hours => $1), ended_at = ended_at - make_interval(hours => $1)", [hours]);
  await database.ownerPool.query("ALTER TABLE backup_run ENABLE TRIGGER USER");
}

describe("a backup that was taken", () => {
  test("is told with its name, and one that failed with the reason", async () => {
    expect(await readBackupNews(db)).toMatchObject({ good: null, failure: null });
    const folder = newFolder();
    const { fileName } = await runBackup(database.ownerUrl, folder, false);
    expect(await readBackupNews(db)).toMatchObject({ good: { fileName }, failure: null });
    const file = join(folder, fileName);
    await expect(runBackup(database.ownerUrl, join(file, "below"), false)).rejects.toThrow(/is no folder/);
    expect(await readBackupNews(db)).toMatchObject({ good: { fileName }, failure: { words: `The backup could not be written: ${join(file, "below")} is no folder.` } });
    expect(readdirSync(folder)).toEqual([fileName]);
    await later(30);
  });

  test("needs the owner's sign-in, and says so", async () => {
    await expect(runBackup(database.url, newFolder(), false)).rejects.toThrow(/this sign-in does not own the tables/);
  });
});

describe("the daily backup", () => {
  test("is taken once a day, by one of several servers, and tried again an hour after it failed", async () => {
    const folder = newFolder();
    const together = await Promise.all([1, 2, 3].map(() => backupIfDue(database.ownerUrl, folder, 5)));
    expect(together.filter((taken) => taken !== null)).toHaveLength(1);
    expect(await backupIfDue(database.ownerUrl, folder, 5)).toBeNull();
    await later(23);
    expect(await backupIfDue(database.ownerUrl, folder, 5)).toBeNull();
    await later(2);
    const nowhere = join(folder, readdirSync(folder)[0]!);
    await expect(backupIfDue(database.ownerUrl, nowhere, 5)).rejects.toThrow(/is no folder/);
    expect(await backupIfDue(database.ownerUrl, folder, 5)).toBeNull();
    await later(1);
    expect(await backupIfDue(database.ownerUrl, folder, 5)).not.toBeNull();
    expect((await readBackupNews(db)).failure).toBeNull();
  });

  test("keeps the newest of its own centre, and touches nothing else", async () => {
    const folder = newFolder();
    const { fileName } = await runBackup(database.ownerUrl, folder, false);
    const centre = fileName.split("-")[1]!;
    const others = ["hangrail-00c0ffee-20200101T000000Z.backup", "holiday.jpg", `hangrail-${centre}-notes.txt`, `hangrail-${centre}-20200101T000000Z.backup.copy`];
    const old = ["20200101T000000Z", "20210101T000000Z", "20220101T000000Z"].map((moment) => `hangrail-${centre}-${moment}.backup`);
    for (const name of [...others, ...old]) writeFileSync(join(folder, name), "");
    await later(25);
    // Names go by the second.
    rmSync(join(folder, fileName));
    const taken = await backupIfDue(database.ownerUrl, folder, 2);
    expect(readdirSync(folder).sort()).toEqual([...others, old.at(-1)!, taken!.fileName].sort());
  });
});

describe("a backup brought back into a folder", () => {
  /** Beside which the database may grow, for whatever account it runs as. */
  const targets: string[] = [];
  const target = (): string => {
    const folder = newFolder();
    targets.push(folder);
    return folder;
  };
  afterAll(() => targets.forEach((folder) => rmSync(folder, { recursive: true, force: true })));

  test("is a centre that starts, with passwords of its own", async () => {
    const { path } = await runBackup(database.ownerUrl, newFolder(), false);
    const folder = target();
    const looked: string[] = [];
    const restored = await restoreFolder(await checkBackup(path), folder, { look: ({ appUrl }) => Promise.resolve(void looked.push(appUrl)) });
    expect(restored.migrated).toEqual([]);
    expect(looked).toHaveLength(1);
    expect(existsSync(`${folder}.restoring`)).toBe(false);
    const server = await startServer({ folder });
    try {
      const client = new pg.Client({ connectionString: server.url("app") });
      await client.connect();
      expect((await client.query("SELECT name FROM site")).rows).toEqual([{ name: "Harbour" }]);
      await client.end();
    } finally {
      await server.stop();
    }
    await expect(restoreFolder(await checkBackup(path), folder)).rejects.toThrow(`The folder ${folder} holds a database already, and a restore writes over nothing.`);
  });

  test("leaves a folder with anything in it alone, and nothing behind when it fails", async () => {
    const { path } = await runBackup(database.ownerUrl, newFolder(), false);
    const checked = await checkBackup(path);
    const folder = target();
    writeFileSync(join(folder, "holiday.jpg"), "sea");
    await expect(restoreFolder(checked, folder)).rejects.toThrow(/is not empty, and a restore writes over nothing/);
    expect(readFileSync(join(folder, "holiday.jpg"), "utf8")).toBe("sea");

    const empty = target();
    await expect(restoreFolder(checked, empty, { look: () => Promise.reject(new Error("not as it should be")) })).rejects.toThrow("not as it should be");
    const wrong = { ...checked, manifest: { ...checked.manifest, tables: checked.manifest.tables.slice(1) } };
    await expect(restoreFolder(wrong, empty)).rejects.toThrow(/lacks the table/);
    expect(readdirSync(empty)).toEqual([]);
    expect(existsSync(`${empty}.restoring`)).toBe(false);

    mkdirSync(`${empty}.restoring`);
    targets.push(`${empty}.restoring`);
    await expect(restoreFolder(checked, empty)).rejects.toThrow(/that no restore made/);
  });
});
