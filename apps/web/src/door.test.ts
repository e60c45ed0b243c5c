import { describe, expect, test } from "vitest";
import { maximumBodyBytes, readBody, refuseAtDoor } from "./door.ts";

const address = "http://kit.example:4321/api/trpc/";

function call(path: string, init: { method?: string; headers?: Record<string, string> } = {}) {
  const headers = { host: "kit.example:4321", ...init.headers };
  return refuseAtDoor(new Request(address + path, { method: init.method ?? "GET", headers }))?.status ?? null;
}

const act = (headers: Record<string, string> = {}) =>
  call("desk.handOut", { method: "POST", headers: { "content-type": "application/json", ...headers } });

describe("who may knock", () => {
  test("the page of this very server, and a person typing the address", () => {
    expect(act({ origin: "http://kit.example:4321", "sec-fetch-site": "same-origin" })).toBeNull();
    expect(call("sets.page", { headers: { "sec-fetch-site": "none" } })).toBeNull();
    expect(act()).toBeNull();
  });

  test.each(["cross-site", "same-site", "anything"])("not a page that is %s", (site) => {
    expect(act({ "sec-fetch-site": site })).toBe(403);
    expect(call("sets.page", { headers: { "sec-fetch-site": site } })).toBe(403);
  });

  test.each(["http://other.example", "http://kit.example", "http://kit.example:4322", "null", "nonsense"])("not the origin %s", (origin) => {
    expect(act({ origin })).toBe(403);
  });

  test("behind a proxy, the page of the public address and of no other", () => {
    const from = (origin: string) =>
      refuseAtDoor(new Request(`${address}session.signOut`, { method: "POST", headers: { host: "kit.example:4321", origin, "content-type": "application/json" } }), "https://kit.public.example")?.status ?? null;
    expect(from("https://kit.public.example")).toBeNull();
    expect(from("http://kit.example:4321")).toBe(403);
  });
});

describe("what is let in", () => {
  test.each(["PUT", "DELETE", "PATCH", "OPTIONS"])("not the method %s", (method) => {
    expect(call("desk.handOut", { method })).toBe(405);
  });

  test.each(["text/plain", "multipart/form-data; boundary=x", "application/x-www-form-urlencoded", "application/jsonp"])("not a post of %s", (type) => {
    expect(call("desk.handOut", { method: "POST", headers: { "content-type": type } })).toBe(415);
  });

  test("not a post that does not say what it is", () => {
    expect(call("desk.handOut", { method: "POST" })).toBe(415);
  });

  test("JSON with a character set", () => {
    expect(act({ "content-type": "Application/JSON; charset=utf-8" })).toBeNull();
  });

  test("a body of 8 MB, not one byte more", () => {
    expect(act({ "content-length": String(maximumBodyBytes) })).toBeNull();
    expect(act({ "content-length": String(maximumBodyBytes + 1) })).toBe(413);
    expect(act({ "content-length": "-1" })).toBe(400);
    expect(act({ "content-length": "1e3" })).toBe(400);
  });

  test("ten calls in one request, not eleven, however the commas are written", () => {
    const names = (count: number, comma: string) => Array<string>(count).fill("sets.page").join(comma);
    expect(call(`${names(10, ",")}?batch=1`)).toBeNull();
    expect(call(`${names(11, ",")}?batch=1`)).toBe(400);
    expect(call(`${names(11, "%2C")}?batch=1`)).toBe(400);
    expect(call("%E0%A4%A?batch=1")).toBe(400);
  });
});

describe("reading a body", () => {
  const stream = (...sizes: number[]) =>
    new ReadableStream<Uint8Array>({
      pull(controller) {
        const size = sizes.shift();
        if (size === undefined) controller.close();
        else controller.enqueue(new Uint8Array(size).fill(sizes.length));
      },
    });

  test("gives every byte in order up to the limit", async () => {
    expect(await readBody(stream(2, 1), 3)).toEqual(Uint8Array.of(1, 1, 0));
    expect(await readBody(null, 3)).toEqual(new Uint8Array());
  });

  test("stops at one byte too many and tells the sender to stop", async () => {
    let cancelled = false;
    const endless = new ReadableStream<Uint8Array>({
      pull: (controller) => controller.enqueue(new Uint8Array(2)),
      cancel: () => {
        cancelled = true;
      },
    });
    expect(await readBody(endless, 3)).toBeNull();
    expect(cancelled).toBe(true);
  });
});
