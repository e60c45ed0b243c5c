/** The two cookies: who is signed in, and which enrolled device this is. */

export type CookieName = "session" | "device";

/** On https the names carry the prefix that binds them to this host and to secure transport. */
function fullName(name: CookieName, secure: boolean): string {
  return `${secure ? "__Host-" : ""}hangrail_${name}`;
}

/** Reads a cookie from a Cookie header. */
export function readCookie(header: string | null, name: CookieName, secure: boolean): string | null {
  const wanted = `${fullName(name, secure)}=`;
  const found = header?.split(/; */).find((part) => part.startsWith(wanted));
  return found ? found.slice(wanted.length) : null;
}

/** A Set-Cookie value; `null` takes the cookie away. */
export function cookie(name: CookieName, value: string | null, secure: boolean, seconds: number): string {
  const age = value === null ? 0 : seconds;
  return `${fullName(name, secure)}=${value ?? ""}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${age}${secure ? "; Secure" : ""}`;
}

/** Whether the address people use is an https one (set HANGRAIL_ORIGIN behind a proxy that ends TLS). */
export function isSecureOrigin(env: NodeJS.ProcessEnv): boolean {
  return env["HANGRAIL_ORIGIN"]?.startsWith("https://") ?? false;
}
