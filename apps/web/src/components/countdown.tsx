"use client";
import { useEffect, useState } from "react";

type CountdownProps = {
  /** The instant at which it is over, as the server gave it. */
  until: string;
  /** What the server's clock said when it gave it: the difference to our own clock is taken out. */
  serverNow: string;
  /** Stands there when it is over, e.g. "Wet time over". */
  over: string;
  /** Stands before the time, e.g. "Wet time left". */
  label: string;
};

/**
 * Minutes and seconds left. A display, never a decision: the server asks its own
 * clock again when the act is recorded. Screen readers hear each minute, not each second.
 */
export function Countdown({ until, serverNow, over, label }: CountdownProps) {
  const [left, setLeft] = useState(() => Date.parse(until) - Date.parse(serverNow));
  useEffect(() => {
    const started = performance.now();
    const whole = Date.parse(until) - Date.parse(serverNow);
    const tick = () => setLeft(whole - (performance.now() - started));
    tick();
    const timer = setInterval(tick, 500);
    return () => clearInterval(timer);
  }, [until, serverNow]);

  const seconds = Math.max(0, Math.ceil(left / 1000));
  const minutes = Math.ceil(seconds / 60);
  return (
    <span className="inline-flex items-baseline gap-2">
      <span aria-hidden="true">
        {seconds === 0 ? <strong>{over}</strong> : <>{label} <strong className="text-xl tabular-nums">{clockFace(seconds)}</strong></>}
      </span>
      <span className="sr-only" role="status">
        {seconds === 0 ? over : `${label}: ${minutes} ${minutes === 1 ? "minute" : "minutes"}`}
      </span>
    </span>
  );
}

function clockFace(seconds: number): string {
  const two = (value: number) => String(value).padStart(2, "0");
  const hours = Math.floor(seconds / 3600);
  const rest = `${two(Math.floor((seconds % 3600) / 60))}:${two(seconds % 60)}`;
  return hours === 0 ? rest : `${hours}:${rest}`;
}
