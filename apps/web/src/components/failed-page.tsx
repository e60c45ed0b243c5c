"use client";

type FailedPageProps = { digest: string | undefined; retry: () => void };

/**
 * The sentence for a screen that broke. What broke is in the server's log under the
 * number shown. Made of plain elements: this goes to the browser with every page, and
 * a full load is the surer way out of a broken one.
 */
export function FailedPage({ digest, retry }: FailedPageProps) {
  return (
    <div className="grid gap-4">
      <h1>This screen could not be shown</h1>
      <div role="alert" className="tinted rounded-xl p-4" data-tone="stop">
        <p className="font-bold">Stop: take nothing on it as true</p>
        <p>
          It may be that the record cannot be reached. Without the record nothing is handed out; the morning sheet
          holds until it is back.
        </p>
        {digest === undefined ? null : <p>Number in the server&apos;s log: {digest}</p>}
      </div>
      <div className="flex flex-wrap gap-4">
        <button type="button" className="button" data-tone="primary" onClick={retry}>
          Try again
        </button>
        <button type="button" className="button" onClick={() => window.location.assign("/")}>
          Go to the first page
        </button>
      </div>
    </div>
  );
}
