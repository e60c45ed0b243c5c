"use client";
import { Notice } from "../../../components/notice.tsx";
import { useHasRole } from "../../../components/who.tsx";
import { listText } from "../../../format.ts";

/** Which makers this person may work on today; the record asks again at each act. */
export function Authorised({ makers }: { makers: readonly string[] }) {
  const technician = useHasRole("technician");
  if (!technician) {
    return (
      <Notice kind="info" title="You may look">
        <p>Work and release are recorded by a technician authorised for the maker.</p>
      </Notice>
    );
  }
  if (makers.length === 0) {
    return (
      <Notice kind="warn" title="You are authorised for no maker today">
        <p>You may report and clear faults. Work and release need an authorisation that covers today: the manager records it under Centre.</p>
      </Notice>
    );
  }
  return (
    <p>
      Today you are authorised for <strong>{listText(makers)}</strong>.
    </p>
  );
}
