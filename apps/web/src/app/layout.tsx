import type { Metadata, Viewport } from "next";
import type { ReactNode } from "react";
import { ServerState } from "../trpc/provider.tsx";
import "./globals.css";

export const metadata: Metadata = {
  title: { default: "Hangrail", template: "%s · Hangrail" },
  description: "Every rental regulator set, and whether it is safe to hand out now.",
  robots: { index: false, follow: false },
  formatDetection: { telephone: false, date: false, address: false, email: false },
};

// No limit on zooming: whoever needs it larger makes it larger.
export const viewport: Viewport = { width: "device-width", initialScale: 1, themeColor: "#062a35" };

// Every page is made for the one who asks, with its own script nonce; none is built in advance.
export const dynamic = "force-dynamic";

export default function RootLayout({ children }: { children: ReactNode }) {
  return (
    <html lang="en-GB">
      <body>
        <ServerState>{children}</ServerState>
      </body>
    </html>
  );
}
