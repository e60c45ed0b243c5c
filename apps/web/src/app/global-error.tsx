"use client";
import { FailedPage } from "../components/failed-page.tsx";
import { PlainFrame } from "../components/plain-frame.tsx";
import "./globals.css";

type ErrorProps = { error: Error & { digest?: string }; retry: () => void };

/** Stands in for the whole document when even the frame around the pages breaks. */
export default function DocumentError({ error, retry }: ErrorProps) {
  return (
    <html lang="en-GB">
      <body>
        <title>Could not be shown · Hangrail</title>
        <PlainFrame>
          <FailedPage digest={error.digest} retry={retry} />
        </PlainFrame>
      </body>
    </html>
  );
}
