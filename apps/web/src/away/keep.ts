/** Has the tablet keep the wash room's page for the time without a network, and forget it when nobody is signed in. */
import { dropAll, dropPicture, scanStore } from "./store.ts";

const WORKER = "/away-worker.js";
const KEPT = "hangrail-away-";

/** Workers and their caches are there only where the page came safely: over https, or on the machine itself. */
export const canKeep = (): boolean => "serviceWorker" in navigator && "caches" in window;

/** Raised when everything is forgotten: a keeping that was on its way then is not asked for any more. */
let forgotten = 0;

/** Asks the worker to fetch the page as it is built now; an older one gives way once the new one is whole. */
export async function keepAwayPage(): Promise<void> {
  if (!canKeep()) return;
  const began = forgotten;
  await navigator.serviceWorker.register(WORKER);
  const { active } = await navigator.serviceWorker.ready;
  // The camera's script is loaded only when it is asked for, and then the network may be gone.
  await import("../components/camera-scan.tsx");
  const also = performance.getEntriesByType("resource").map(({ name }) => new URL(name)).filter(({ origin, pathname }) => origin === location.origin && /^\/_next\/static\/.*\.js$/.test(pathname));
  if (forgotten === began) active?.postMessage({ keep: also.map(({ pathname, search }) => `${pathname}${search}`) });
}

/** How many scans of the wash room this tablet has not sent, or that were refused and not seen to. */
export async function keptScans(): Promise<number> {
  return (await scanStore.all()).length;
}

/** At sign-out: everything goes. */
export async function forgetAll(): Promise<void> {
  await dropAll();
  await forgetPages();
}

/** Where nobody is signed in any more though nobody signed out: scans that wait are not dropped unseen. */
export async function forgetButScans(): Promise<void> {
  if ((await keptScans()) === 0) await dropAll();
  else await dropPicture();
  await forgetPages();
}

async function forgetPages(): Promise<void> {
  forgotten += 1;
  if (!canKeep()) return;
  // Told as well, for it may be in the middle of keeping.
  (await navigator.serviceWorker.getRegistration())?.active?.postMessage({ forget: true });
  for (const name of await caches.keys()) if (name.startsWith(KEPT)) await caches.delete(name);
}
