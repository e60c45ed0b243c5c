/*
 * Keeps one page for the time without a network, /away, and the built files it names. It never keeps an answer of the
 * server to anybody: the page is fetched without cookies, so it cannot hold a name. What is asked of /api passes by it.
 */
const PAGE = "/away";
const KEPT = "hangrail-away-";
const BUILT = "/_next/static/";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

/** Raised whenever everything is to be forgotten: a keeping that began before must leave nothing behind. */
let forgotten = 0;

self.addEventListener("message", (event) => {
  if (event.data?.forget === true) event.waitUntil(forget());
  else if (Array.isArray(event.data?.keep)) event.waitUntil(keep(event.data.keep));
});

async function forget() {
  forgotten += 1;
  for (const name of await caches.keys()) if (name.startsWith(KEPT)) await caches.delete(name);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(pageOrAway(request, pathname));
  else if (pathname.startsWith(BUILT)) event.respondWith(builtFile(request));
});

/** The page asked for; without a network the kept one, under its own address. */
async function pageOrAway(request, pathname) {
  try {
    return await fetch(request);
  } catch (noNetwork) {
    const kept = await caches.match(PAGE);
    if (kept === undefined) throw noNetwork;
    return pathname === PAGE ? kept : Response.redirect(PAGE, 302);
  }
}

/** A built file is named by its content: the kept one is the right one. */
async function builtFile(request) {
  return (await caches.match(request)) ?? fetch(request);
}

/**
 * Fetches the page and its files as they are built now. A cache is named by the files in it, so a new build fills a new
 * one, and the old one goes when the new one is whole. The policy's nonce is kept with the page that carries it.
 */
async function keep(also) {
  const began = forgotten;
  const page = await fetch(PAGE, { credentials: "omit", cache: "no-store" });
  if (!page.ok || page.redirected) return;
  const html = await page.clone().text();
  const named = [...html.matchAll(/\/_next\/static\/[^"'\\?#<>\s]+?\.(?:js|css|woff2?)(?:\?[^"'\\#<>\s]*)?/g)].map(([file]) => file);
  const files = [...new Set([...named, ...also.filter((file) => typeof file === "string" && file.startsWith(BUILT))])].sort();
  const name = KEPT + (await digestOf(named.toSorted()));
  if (forgotten !== began) return;
  const isNew = !(await caches.has(name));
  const cache = await caches.open(name);
  try {
    for (const file of files) if ((await cache.match(file)) === undefined) await cache.add(file);
    await cache.put(PAGE, page);
  } catch {
    // The network went away in the middle: what was whole before stays.
    if (isNew) await caches.delete(name);
    return;
  }
  for (const other of await caches.keys()) if (other.startsWith(KEPT) && (other !== name || forgotten !== began)) await caches.delete(other);
}

async function digestOf(files) {
  const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode([...new Set(files)].join("\n")));
  return [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("").slice(0, 16);
}
