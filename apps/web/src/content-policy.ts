/**
 * The content security policy of a page.
 *
 * Scripts run only with the request's nonce, or when loaded by one that has it.
 * Style sheets come from this server or carry the nonce. Style *attributes* are
 * allowed: charts place their labels and tooltips with them, and an attribute can
 * neither load nor run anything under `default-src 'self'`.
 *
 * @param nonce  fresh for each request, base64
 * @param development  the development server evaluates code and injects styles
 */
export function pagePolicy(nonce: string, development: boolean): string {
  return [
    "default-src 'self'",
    `script-src 'self' 'nonce-${nonce}' 'strict-dynamic'${development ? " 'unsafe-eval'" : ""}`,
    development ? "style-src 'self' 'unsafe-inline'" : `style-src 'self' 'nonce-${nonce}'`,
    "style-src-attr 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "font-src 'self'",
    `connect-src 'self'${development ? " ws:" : ""}`,
    "worker-src 'self' blob:",
    "manifest-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join("; ");
}

/** The policy of an answer that is data: nothing in it may load or run. */
export const dataPolicy = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";

/**
 * Whether the browser speaks TLS, to us or to a proxy in front of us.
 *
 * @param publicOrigin  the address people use, when it was set; it decides alone
 */
export function isSecure(url: string, forwardedProtocol: string | null, publicOrigin: string | null): boolean {
  if (publicOrigin !== null) return publicOrigin.startsWith("https:");
  const first = forwardedProtocol?.split(",")[0]?.trim();
  return first === undefined ? url.startsWith("https:") : first === "https";
}
