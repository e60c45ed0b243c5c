"use client";
import { Button, ButtonLink } from "./button.tsx";
import { Notice } from "./notice.tsx";

/** The sentence for a screen that broke. What broke is in the server's log under the number shown. */
export function FailedPage({ digest, retry }: { digest: string | undefined; retry: () => void }) {
  return (
    <div className="grid gap-4">
      <h1>This screen could not be shown</h1>
      <Notice kind="stop" title="Take nothing on it as true" announce>
        <p>
          It may be that the record cannot be reached. Without the record nothing is handed out; the morning sheet
          holds until it is back.
        </p>
        {digest === undefined ? null : <p>Number in the server&apos;s log: {digest}</p>}
      </Notice>
      <div className="flex flex-wrap gap-4">
        <Button tone="primary" onClick={retry}>
          Try again
        </Button>
        <ButtonLink href="/">Go to the first page</ButtonLink>
      </div>
    </div>
  );
}
