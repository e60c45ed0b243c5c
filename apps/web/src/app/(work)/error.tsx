"use client";
import { FailedPage } from "../../components/failed-page.tsx";

type ErrorProps = { error: Error & { digest?: string }; retry: () => void };

/** A working screen that broke; the frame around it still stands. */
export default function WorkError({ error, retry }: ErrorProps) {
  return <FailedPage digest={error.digest} retry={retry} />;
}
