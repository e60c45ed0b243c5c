import { expect, test } from "vitest";
import { dataPolicy, isSecure, pagePolicy } from "./content-policy.ts";

test("a page runs only scripts with its nonce, and nobody frames it", () => {
  const policy = pagePolicy("abc", false);
  expect(policy).toContain("script-src 'self' 'nonce-abc' 'strict-dynamic';");
  expect(policy).toContain("style-src 'self' 'nonce-abc';");
  for (const directive of ["default-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'"]) {
    expect(policy.split("; ")).toContain(directive);
  }
  expect(policy).not.toContain("unsafe-eval");
  expect(policy.replace("style-src-attr 'unsafe-inline'", "")).not.toContain("unsafe-inline");
  expect(policy).not.toMatch(/https?:|\*/);
});

test("only the development server may evaluate code", () => {
  expect(pagePolicy("abc", true)).toContain("'unsafe-eval'");
});

test("data may load nothing", () => {
  expect(dataPolicy).toContain("default-src 'none'");
});

test.each([
  ["http://127.0.0.1:4321/", null, null, false],
  ["https://kit.example/", null, null, true],
  ["http://127.0.0.1:4321/", "https, http", null, true],
  ["http://127.0.0.1:4321/", "http", null, false],
  ["http://127.0.0.1:4321/", null, "https://kit.example", true],
  ["http://127.0.0.1:4321/", "https", "http://kit.example", false],
])("%s, forwarded %s, public %s: secure is %s", (url, forwarded, origin, secure) => {
  expect(isSecure(url, forwarded, origin)).toBe(secure);
});
