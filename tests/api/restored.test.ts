/** After a restore: what waits, the manager's word for it, and how the centre's backups are told. */
import { transferSet } from "@hangrail/db/acts";
import { afterAll, beforeAll, expect, test } from "vitest";
import { aRequest, codeOf, makeApiRoom, terms, type ApiRoom } from "../support/api.ts";
import { done, type RoomSet } from "../support/kit-room.ts";

let at: ApiRoom;
let sets: readonly RoomSet[];
beforeAll(async () => {
  at = await makeApiRoom({ sets: 5 });
  sets = at.room.sets;
  const lake = await at.room.openSite("Lake Dive Centre");
  done(await transferSet(at.room.db, at.room.by("manager"), sets[4]!.id, lake));
});
afterAll(() => at.close());

const restored = () => at.room.database.ownerPool.query("SELECT mark_restored($1, repeat('7', 64))", [new Date((Date.now() - 3 * 86_400_000))]);
const manager = () => at.as("manager").then(({ api }) => api);

test("a centre that was never restored has nothing waiting", async () => {
  expect(await (await manager()).restored.waiting()).toEqual({ restore: null, here: 0, out: 0, sets: [] });
});

test("every set of the site waits, shows why it stays, and goes out again when a manager has seen it", async () => {
  await restored();
  const [first, second, third, fourth, elsewhere] = sets as [RoomSet, RoomSet, RoomSet, RoomSet, RoomSet];
  // Sessions of the backup let nobody in, so this is a new one.
  const api = await manager();
  const waiting = await api.restored.waiting();
  expect(waiting).toMatchObject({ here: 4, out: 0, sets: [first, second, third, fourth].map(({ id, tag }) => ({ setId: id, tag, backOn: null })) });

  const shown = await (await at.as("desk")).api.desk.lookUp({ tags: [first.tag], hire: terms(await at.room.today()) });
  expect(JSON.stringify(shown)).toContain('"code":"restored"');

  const confirm = (tag: string) => api.restored.confirm({ requestId: aRequest(), tag, words: "Looked at" });
  expect(await confirm(first.tag)).toMatchObject({ answer: "done", sets: 1 });
  expect(await confirm(first.tag)).toMatchObject({ answer: "refused", code: "already-seen" });
  expect([await codeOf(confirm(elsewhere.tag)), await codeOf(confirm("NO-SUCH-1"))]).toEqual(["NOT_FOUND", "NOT_FOUND"]);

  expect(await api.restored.confirmAll({ requestId: aRequest(), counted: 4, words: "Counted" })).toMatchObject({ answer: "refused", code: "count-differs", facts: { counted: 4, recorded: 3 } });
  expect(await api.restored.confirmAll({ requestId: aRequest(), counted: 3, words: "Counted" })).toMatchObject({ answer: "done", sets: 3 });
  expect(await api.restored.waiting()).toMatchObject({ here: 0, out: 0, sets: [] });
  const { rows } = await at.room.database.ownerPool.query("SELECT set_id FROM restored_set WHERE seen_seq IS NULL");
  expect(rows).toEqual([{ set_id: elsewhere.id }]);
});

test("the manager is told of backups that are missing, too old, or failed, and of nothing while all is well", async () => {
  const api = await manager();
  const run = (hoursAgo: number, file: string | null, words = "") =>
    at.room.database.ownerPool.query("INSERT INTO backup_run (started_at, ended_at, scheduled, file_name, bytes, words) SELECT now - make_interval(hours => $1), now, true, $2, $3, $4 FROM kitroom_clock() now", [hoursAgo, file, file && 1000, words]);
  const verdict = async () => (await api.site.backups()).verdict;
  expect(await verdict()).toBe("fine");
  await at.room.database.ownerPool.query("UPDATE site SET created_at = created_at - interval '3 days'");
  expect(await verdict()).toBe("never");
  await run(49, "old.backup");
  expect(await api.site.backups()).toMatchObject({ verdict: "old", good: { fileName: "old.backup" }, failure: null });
  await run(2, "new.backup");
  expect(await verdict()).toBe("fine");
  await run(1, null, "The disk is full.");
  expect(await api.site.backups()).toMatchObject({ verdict: "failed", good: { fileName: "new.backup" }, failure: { words: "The disk is full." } });
});
