/** How people of a test are signed in: by the secrets they all share, or straight by a session's cookie. */
import { hashSecret, newToken, tokenHash } from "@hangrail/api/secrets";
import type { Database } from "@hangrail/db/database";
import { openSession } from "@hangrail/db/people-acts";
import { done } from "./kit-room.ts";

/** The password and the PIN everybody has, hashed once: hashing is slow by intent. */
export const PASSWORD = "brass kettle on the quay";
export const PIN = "274918";
let hashed: Promise<{ passwordHash: string; pinHash: string }> | undefined;
export function secrets(): Promise<{ passwordHash: string; pinHash: string }> {
  return (hashed ??= Promise.all([hashSecret(PASSWORD), hashSecret(PIN)]).then(([passwordHash, pinHash]) => ({ passwordHash, pinHash })));
}

export const SESSION_COOKIE = "hangrail_session";

/** Opens a session as a sign-in by password does, and answers its token. */
export async function sessionToken(db: Database, staff: string, site: string): Promise<string> {
  const token = newToken();
  done(await openSession(db, { tokenHash: tokenHash(token), staff, site, device: null, openedWith: "password", hours: 12, replaces: null }));
  return token;
}
