/** What a call knows of its caller: read from the cookies afresh each time, never from the call itself. */
import { findDevice, findSession, type DeviceCard, type SessionCard } from "@hangrail/db/sessions";
import { touchSession } from "@hangrail/db/people-acts";
import { cookie, isSecureOrigin, readCookie, type CookieName } from "./cookies.ts";
import { kitRoom, type KitRoom } from "./kit-room.ts";
import { tokenHash } from "./secrets.ts";
import { transportError } from "./transport-error.ts";

/** Minutes without an act or a page after which a person has to sign in again. A shared tablet locks sooner. */
const IDLE_MINUTES = { pin: 10, password: 60 };

export interface Context {
  readonly room: KitRoom;
  readonly session: SessionCard | null;
  readonly device: DeviceCard | null;
  setCookie(name: CookieName, value: string | null, seconds: number): void;
  /** Whoever acts is there: puts off the idle limit. */
  touch(): Promise<void>;
}

export async function createContext({ req, resHeaders }: { req: Request; resHeaders: Headers }): Promise<Context> {
  return contextFor(kitRoom(), req.headers.get("cookie"), resHeaders);
}

/** The context behind a Cookie header, on a given kit room. */
export async function contextFor(room: KitRoom, cookies: string | null, resHeaders: Headers): Promise<Context> {
  const secure = isSecureOrigin(process.env);
  const sessionToken = readCookie(cookies, "session", secure);
  const deviceToken = readCookie(cookies, "device", secure);
  const [session, device] = await Promise.all([
    sessionToken ? findSession(room.db, tokenHash(sessionToken), IDLE_MINUTES) : null,
    deviceToken ? findDevice(room.db, tokenHash(deviceToken)) : null,
  ]).catch((error: unknown) => {
    // No procedure has begun, so none can name what broke.
    throw transportError(error, false) ?? error;
  });
  return {
    room,
    // A session opened on an enrolled device is worth nothing on another one.
    session: session?.deviceId && session.deviceId !== device?.id ? null : session,
    device,
    setCookie: (name, value, seconds) => resHeaders.append("set-cookie", cookie(name, value, secure, seconds)),
    touch: async () => void (session && (await touchSession(room.db, session.id))),
  };
}
