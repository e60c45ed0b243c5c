"use client";
import { useEffect } from "react";
import { AwayNotice } from "../../away/away-notice.tsx";
import { AwayRoom } from "../../away/away-room.tsx";
import { useKept } from "../../away/use-away.ts";
import { WaitingScans } from "../../away/waiting-scans.tsx";
import { Button } from "../../components/button.tsx";
import { Icon } from "../../components/icon.tsx";
import { Notice } from "../../components/notice.tsx";

/** A full load: with a network it is the wash room, without one it is this page again. */
const toWashRoom = () => window.location.assign("/wash-room");

/** Between two looks for the network, milliseconds. The browser's own word comes sooner, and sometimes too soon. */
const lookEvery = 5_000;

/** Goes to the wash room as soon as the server answers. */
async function look(): Promise<void> {
  const answer = await fetch("/api/health", { cache: "no-store" }).catch(() => null);
  if (answer?.ok === true) toWashRoom();
}

/** Scanning on what the tablet keeps. Sending is the signed-in wash room's: this page goes there when the network is back. */
export function Away() {
  const kept = useKept();
  useEffect(() => {
    const lookNow = () => void look();
    const timer = setInterval(lookNow, lookEvery);
    window.addEventListener("online", lookNow);
    return () => {
      clearInterval(timer);
      window.removeEventListener("online", lookNow);
    };
  }, []);
  const waits = kept !== undefined && kept !== "failed" && kept.scans.length > 0;
  return (
    <div className="grid gap-6">
      <AwayNotice />
      <div>
        <Button size="desk" tone="primary" onClick={toWashRoom}>
          <Icon name={waits ? "up" : "loop"} /> {waits ? "Send now" : "Try the network now"}
        </Button>
      </div>
      {kept === undefined ? (
        <p role="status">What this tablet keeps is being read…</p>
      ) : kept === "failed" ? (
        <Notice kind="stop" title="This tablet keeps nothing" announce>
          <p>Its browser lets nothing be kept. Write on paper what goes into the bath, and enter it when the network is back.</p>
        </Notice>
      ) : kept.picture === null ? (
        <Notice kind="info" title="Nothing is known of the wash room here">
          <p>This tablet keeps the wash room only after somebody signed in looked at it. Write on paper what you do until the network is back.</p>
        </Notice>
      ) : (
        <>
          <WaitingScans scans={kept.scans} timeZone={kept.picture.timeZone} maySend={false} />
          <AwayRoom picture={kept.picture} scans={kept.scans} />
        </>
      )}
    </div>
  );
}
