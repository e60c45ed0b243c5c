"use client";
import { Button, ButtonLink } from "../components/button.tsx";
import { Notice } from "../components/notice.tsx";
import { countText } from "../format.ts";

type UnsentScansProps = { waits: number; pending: boolean; onLeave: () => void; onStay: () => void };

/** The warning before a sign-out that would throw scans away. The ways back stand first. */
export function UnsentScans({ waits, pending, onLeave, onStay }: UnsentScansProps) {
  return (
    <div className="grid gap-4">
      <Notice kind="warn" title={`${countText(waits, "scan")} not recorded yet`} announce>
        <p>The wash room made them without the network, and they lie on this tablet alone. Signing out throws them away.</p>
      </Notice>
      <ButtonLink href="/wash-room" tone="primary">
        See to them first
      </ButtonLink>
      <Button onClick={onStay}>Stay signed in</Button>
      <Button tone="danger" pending={pending} pendingWords="Signing out…" onClick={onLeave}>
        Throw them away and sign out
      </Button>
    </div>
  );
}
