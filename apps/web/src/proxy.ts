import { NextResponse, type NextRequest } from "next/server";
import { dataPolicy, isSecure, pagePolicy } from "./content-policy.ts";

/**
 * Sets the headers that differ per request, and nothing else. Who may see or do
 * what is decided by the procedures and by the server components that call them.
 */
export function proxy(request: NextRequest): NextResponse {
  const isData = request.nextUrl.pathname.startsWith("/api/");
  const nonce = freshNonce();
  const policy = isData ? dataPolicy : pagePolicy(nonce, process.env.NODE_ENV === "development");

  // Next reads the nonce from the request's own policy header and puts it on its scripts.
  const forwarded = new Headers(request.headers);
  forwarded.delete("x-nonce");
  if (!isData) {
    forwarded.set("x-nonce", nonce);
    forwarded.set("content-security-policy", policy);
  }

  const response = NextResponse.next({ request: { headers: forwarded } });
  response.headers.set("Content-Security-Policy", policy);
  response.headers.set("Cache-Control", "no-store");
  if (isSecure(request.url, request.headers.get("x-forwarded-proto"), process.env["HANGRAIL_ORIGIN"] ?? null)) {
    response.headers.set("Strict-Transport-Security", "max-age=31536000; includeSubDomains");
  }
  return response;
}

function freshNonce(): string {
  return btoa(String.fromCharCode(...crypto.getRandomValues(new Uint8Array(18))));
}

// Built files carry no page and are named by their content; they may be kept.
export const config = { matcher: "/((?!_next/static/).*)" };
