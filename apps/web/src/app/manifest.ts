import type { MetadataRoute } from "next";

/** What a tablet is told when Hangrail is put on its first screen as an app. */
export default function manifest(): MetadataRoute.Manifest {
  return {
    id: "/",
    name: "Hangrail",
    short_name: "Hangrail",
    description: "Every rental regulator set, and whether it is safe to hand out now.",
    lang: "en-GB",
    // The page of what matters today, for whoever signed in.
    start_url: "/today",
    scope: "/",
    display: "standalone",
    background_color: "#fffdf7",
    theme_color: "#062a35",
    icons: [
      { src: "/icon.svg", sizes: "any", type: "image/svg+xml" },
      { src: "/icons/icon-192.png", sizes: "192x192", type: "image/png" },
      { src: "/icons/icon-512.png", sizes: "512x512", type: "image/png" },
      { src: "/icons/icon-cut-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
    ],
    shortcuts: [
      { name: "Wash room", url: "/wash-room" },
      { name: "Desk", url: "/desk" },
    ],
  };
}
