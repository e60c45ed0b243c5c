"use client";
import { useQueryClient } from "@tanstack/react-query";
import { useEffect, useEffectEvent, useState } from "react";
import { sentWords } from "../../../away-words.ts";
import { sendKept } from "../../../away/send-kept.ts";
import type { Scan } from "../../../away/scans.ts";
import { WaitingScans } from "../../../away/waiting-scans.tsx";
import { Button } from "../../../components/button.tsx";
import { Icon } from "../../../components/icon.tsx";
import { Notice } from "../../../components/notice.tsx";
import { useWho } from "../../../components/who.tsx";
import { useTRPCClient } from "../../../trpc/client.ts";

/** The scans this tablet made without the network: sent by themselves when it is there, and at a press. */
export function KeptScans({ scans, away }: { scans: readonly Scan[]; away: boolean }) {
  const { site } = useWho();
  const client = useTRPCClient();
  const queryClient = useQueryClient();
  const [sending, setSending] = useState(false);
  const [said, setSaid] = useState<string | null>(null);
  const here = scans.filter(({ siteId }) => siteId === site.id);
  const waiting = here.filter(({ refused }) => refused === null).length;

  const send = async () => {
    setSending(true);
    try {
      const sent = await sendKept(client, site.id);
      setSaid(sentWords(sent));
      if (sent.recorded > 0) await queryClient.invalidateQueries();
    } catch {
      setSaid("This tablet's store could not be read. Load the page again.");
    } finally {
      setSending(false);
    }
  };
  const sendByItself = useEffectEvent(() => {
    if (waiting > 0 && !sending) void send();
  });
  useEffect(() => {
    if (!away) sendByItself();
  }, [away, waiting]);

  if (said === null && scans.length === 0) return null;
  return (
    <div className="mb-6 grid gap-6">
      {said === null ? null : (
        <Notice kind="info" title="Scans sent" announce>
          <p>{said}</p>
        </Notice>
      )}
      {scans.length === here.length ? null : (
        <Notice kind="warn" title="Scans of another site">
          <p>This tablet keeps scans made at another site. Go to that site to send them.</p>
        </Notice>
      )}
      <WaitingScans scans={here} timeZone={site.timeZone} maySend>
        {waiting === 0 ? null : (
          <Button size="wash" tone="primary" pending={sending} pendingWords="Being sent…" onClick={() => void send()}>
            <Icon name="up" size={36} /> Send now
          </Button>
        )}
      </WaitingScans>
    </div>
  );
}
