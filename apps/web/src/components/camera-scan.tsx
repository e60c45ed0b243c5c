"use client";
import { useEffect, useEffectEvent, useRef, useState } from "react";

/** What the browser offers for it; not yet among the types of the language. */
type Detector = { detect(picture: HTMLVideoElement): Promise<readonly { rawValue: string }[]> };
declare const BarcodeDetector: new (options: { formats: readonly string[] }) => Detector;

/** What labels of sets and hire papers carry. */
const FORMATS = ["qr_code", "code_128", "code_39"];
/** Between two looks, milliseconds: often enough for a hand that moves, seldom enough for a tablet that lasts the day. */
const LOOK_EVERY = 150;
/** So many looks without a code before the same one is taken again. */
const LOOKS_AWAY = 5;

/** The camera's picture below the scan field. Each code held before it is taken once; it goes on looking until it is closed. */
export default function CameraScan({ onCode }: { onCode: (code: string) => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const taken = useEffectEvent(onCode);

  useEffect(() => {
    const picture = video.current!;
    let stream: MediaStream | null = null;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let ended = false;
    let last: string | null = null;
    let looksAway = 0;
    const look = async (detector: Detector) => {
      const code = (await detector.detect(picture).catch(() => []))[0]?.rawValue ?? null;
      if (ended) return;
      if (code !== null && code !== last) taken(code);
      looksAway = code === null ? looksAway + 1 : 0;
      if (code !== null || looksAway >= LOOKS_AWAY) last = code;
      timer = setTimeout(() => void look(detector), LOOK_EVERY);
    };
    const begin = async () => {
      try {
        const opened = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false });
        if (ended) return stop(opened);
        stream = opened;
        picture.srcObject = opened;
        await picture.play();
        await look(new BarcodeDetector({ formats: FORMATS }));
      } catch (error) {
        if (!ended) setTrouble(troubleText(error));
      }
    };
    void begin();
    return () => {
      ended = true;
      clearTimeout(timer);
      stop(stream);
    };
  }, []);

  if (trouble !== null) {
    return (
      <p role="alert" className="mt-2 font-semibold">
        {trouble}
      </p>
    );
  }
  return <video ref={video} muted playsInline aria-label="What the camera sees: hold the label before it" className="mt-3 aspect-video w-full max-w-md rounded-lg border-2 border-edge bg-ink object-cover" />;
}

function stop(stream: MediaStream | null) {
  for (const track of stream?.getTracks() ?? []) track.stop();
}

function troubleText(error: unknown): string {
  if (error instanceof DOMException && error.name === "NotAllowedError") return "The browser may not use the camera. Allow it for this page, or type the tag.";
  if (error instanceof DOMException && error.name === "NotFoundError") return "This device has no camera. Type the tag, or use a scanner.";
  return "The camera did not start. Type the tag, or use a scanner.";
}
