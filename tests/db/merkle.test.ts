import { sha256 } from "@hangrail/db/sha256";
import { leafHash, merklePath, merkleRoot, rootOfPath } from "@hangrail/rules/merkle";
import fc from "fast-check";
import { expect, test } from "vitest";

/** Published roots over the first so many of eight leaves, which Certificate Transparency's own tests use. */
const LEAVES = ["", "\x00", "\x10", "\x20\x21", "\x30\x31", "\x40\x41\x42\x43", "PQRSTUVW", "`abcdefghijklmno"];
const ROOTS = [
  "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
  "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
  "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
  "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
  "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
  "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
  "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
  "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
  "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
];

test.each(ROOTS.map((root, size) => [size, root] as const))("the root over %i leaves", (size, root) => {
  expect(merkleRoot(LEAVES.slice(0, size).map((leaf) => leafHash(leaf, sha256)), sha256)).toBe(root);
});

test("every leaf is proved by its path, and by no other place, size, path or leaf", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 40 }), fc.nat(1_000), (size, pick) => {
      const leaves = Array.from({ length: size }, (_, at) => leafHash(`leaf ${at}`, sha256));
      const root = merkleRoot(leaves, sha256);
      const at = pick % size;
      const path = merklePath(leaves, at, sha256);
      expect(rootOfPath(leaves[at]!, at, size, path, sha256)).toBe(root);
      expect(rootOfPath(leafHash("another", sha256), at, size, path, sha256)).not.toBe(root);
      expect(rootOfPath(leaves[at]!, at, size, [...path, root], sha256)).toBeNull();
      if (path.length > 0) {
        expect(rootOfPath(leaves[at]!, at, size, path.slice(1), sha256)).not.toBe(root);
        expect(rootOfPath(leaves[at]!, (at + 1) % size, size, path, sha256)).not.toBe(root);
      }
      expect(rootOfPath(leaves[at]!, size, size, path, sha256)).toBeNull();
    }),
    { numRuns: 300 },
  );
});

test("a leaf cannot pass for an inner node", () => {
  const leaves = ["a", "b"].map((leaf) => leafHash(leaf, sha256));
  expect(merkleRoot(leaves, sha256)).not.toBe(leafHash(leaves.join(""), sha256));
});
