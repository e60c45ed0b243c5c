/** Passwords, PINs and tokens. Only hashes are ever stored. */
import { createHash, randomBytes, scrypt, timingSafeEqual } from "node:crypto";

// 32 MiB a hash: OWASP's password storage advice for scrypt (N = 2^15, r = 8, p = 3) is met with p raised.
const COST = { N: 2 ** 15, r: 8, p: 3, maxmem: 64 * 1024 * 1024 };
const KEY_BYTES = 32;

/** Hashes a password or PIN with a memory-hard function, as `scrypt$N$r$p$salt$key`. */
export async function hashSecret(secret: string): Promise<string> {
  const salt = randomBytes(16);
  const key = await derive(secret, salt, COST);
  return ["scrypt", COST.N, COST.r, COST.p, salt.toString("base64url"), key.toString("base64url")].join("$");
}

/** Whether a secret is the one behind a hash. Takes as long for a person who does not exist: give `null` then. */
export async function isSecret(secret: string, hash: string | null): Promise<boolean> {
  const [, n, r, p, salt, key] = (hash ?? NOBODY).split("$");
  const expected = Buffer.from(key ?? "", "base64url");
  const derived = await derive(secret, Buffer.from(salt ?? "", "base64url"), { ...COST, N: Number(n), r: Number(r), p: Number(p) });
  return derived.length === expected.length && timingSafeEqual(derived, expected) && hash !== null;
}

const NOBODY = ["scrypt", COST.N, COST.r, COST.p, randomBytes(16).toString("base64url"), randomBytes(KEY_BYTES).toString("base64url")].join("$");

function derive(secret: string, salt: Buffer, cost: typeof COST): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(secret.normalize("NFKC"), salt, KEY_BYTES, cost, (error, key) => (error ? reject(error) : resolve(key)));
  });
}

/** A new token for a cookie: 256 bits. */
export function newToken(): string {
  return randomBytes(32).toString("base64url");
}

/** What is stored of a token. It is random, so one fast hash is enough. */
export function tokenHash(token: string): Buffer {
  return createHash("sha256").update(token).digest();
}
