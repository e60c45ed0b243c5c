"use client";
import { FailedPage } from "../components/failed-page.tsx";
import { PlainFrame } from "../components/plain-frame.tsx";

type ErrorProps = { error: Error & { digest?: string }; retry: () => void };

export default function PageError({ error, retry }: ErrorProps) {
  return (
    <PlainFrame>
      <FailedPage digest={error.digest} retry={retry} />
    </PlainFrame>
  );
}
