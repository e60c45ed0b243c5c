import { Notice } from "../components/notice.tsx";

/** What holds while the network is away, said before anything can be scanned. */
export function AwayNotice() {
  return (
    <Notice kind="warn" title="The network is away">
      <p>Scans are kept on this tablet and sent in their order when it is back. They count from the hour they arrive: leave sets in the bath until then.</p>
      <p>Nothing can be handed out, taken back, released or called clean until the network is back.</p>
    </Notice>
  );
}
