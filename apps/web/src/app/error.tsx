"use client";
import { FailedPage } from "../components/failed-page.tsx";

type ErrorProps = { error: Error & { digest?: string }; retry: () => void };

/** A page without a frame around it that broke. Without our mark too: this goes to the browser with every page. */
export default function PageError({ error, retry }: ErrorProps) {
  return (
    <main id="main" tabIndex={-1} className="mx-auto w-full max-w-3xl px-4 py-8">
      <FailedPage digest={error.digest} retry={retry} />
    </main>
  );
}
