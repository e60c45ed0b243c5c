"use client";
import { FailedPage } from "../components/failed-page.tsx";
import "./globals.css";

type ErrorProps = { error: Error & { digest?: string }; retry: () => void };

/** Stands in for the whole document when even the frame around the pages breaks. */
export default function DocumentError({ error, retry }: ErrorProps) {
  return (
    <html lang="en-GB">
      <body>
        <title>Could not be shown · Hangrail</title>
        <main id="main" tabIndex={-1} className="mx-auto w-full max-w-3xl px-4 py-8">
          <FailedPage digest={error.digest} retry={retry} />
        </main>
      </body>
    </html>
  );
}
