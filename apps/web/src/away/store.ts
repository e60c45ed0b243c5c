/**
 * Where a tablet keeps the picture of the wash room and the scans that wait. IndexedDB: it outlives the tab and a dead
 * battery. Opened for each act and closed after it, so that it can be thrown away at any moment.
 */
import type { Picture } from "./picture.ts";
import type { NewScan, Scan } from "./scans.ts";
import type { ScanStore } from "./send.ts";

const NAME = "hangrail-wash-room";
const SCANS = "scan";
const PICTURE = "picture";

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore(SCANS, { keyPath: "nth", autoIncrement: true });
      asked.result.createObjectStore(PICTURE);
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error ?? new Error("The tablet's store did not open."));
  });
}

/** One transaction; resolves when it is on the disk, not when it is asked for. */
async function within<T>(store: typeof SCANS | typeof PICTURE, mode: IDBTransactionMode, act: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const database = await opened();
  try {
    return await new Promise<T>((resolve, reject) => {
      const transaction = database.transaction(store, mode, { durability: "strict" });
      const asked = act(transaction.objectStore(store));
      transaction.oncomplete = () => resolve(asked.result);
      transaction.onabort = transaction.onerror = () => reject(transaction.error ?? asked.error ?? new Error("The tablet's store took nothing."));
    });
  } finally {
    database.close();
  }
}

const listeners = new Set<() => void>();
/** Another tab of the same tablet may have changed it. */
const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel(NAME);
const tellHere = () => {
  for (const listener of listeners) listener();
};
if (channel !== null) channel.onmessage = tellHere;
function tell(): void {
  tellHere();
  channel?.postMessage("changed");
}

/** Calls when the store changed, here or in another tab. */
export function onChange(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export const scanStore: ScanStore = {
  all: () => within(SCANS, "readonly", (store) => store.getAll() as IDBRequest<Scan[]>),
  async add(scan: NewScan) {
    await within(SCANS, "readwrite", (store) => store.add({ ...scan, refused: null }));
    tell();
  },
  async remove(nth) {
    await within(SCANS, "readwrite", (store) => store.delete(nth));
    tell();
  },
  async mark(nth, refused) {
    const scan = (await scanStore.all()).find((one) => one.nth === nth);
    if (scan === undefined) return;
    await within(SCANS, "readwrite", (store) => store.put({ ...scan, refused }));
    tell();
  },
};

export const loadPicture = (): Promise<Picture | null> => within(PICTURE, "readonly", (store) => store.get("newest") as IDBRequest<Picture | undefined>).then((found) => found ?? null);

export async function savePicture(picture: Picture): Promise<void> {
  await within(PICTURE, "readwrite", (store) => store.put(picture, "newest"));
  tell();
}

export async function dropPicture(): Promise<void> {
  await within(PICTURE, "readwrite", (store) => store.clear());
  tell();
}

/** Nothing of the wash room is left on the tablet, waiting scans included. */
export function dropAll(): Promise<void> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.deleteDatabase(NAME);
    asked.onsuccess = () => resolve();
    asked.onerror = () => reject(asked.error ?? new Error("The tablet's store could not be emptied."));
  });
}
