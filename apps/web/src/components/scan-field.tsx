"use client";
import dynamic from "next/dynamic";
import { useEffect, useEffectEvent, useId, useRef, useState, useSyncExternalStore, type SyntheticEvent } from "react";
import { Button, type ButtonSize } from "./button.tsx";
import { Icon } from "./icon.tsx";
import { emptyBuffer, isScanning, scanned, tidyTag, withKey, type ScanBuffer } from "./scan-buffer.ts";

const CameraScan = dynamic(() => import("./camera-scan.tsx"), { ssr: false });

type ScanFieldProps = {
  /** Called with each tag, tidied, whether scanned or typed; `raw` is the text as it came, for codes that are no tags. */
  onScan: (tag: string, raw: string) => void;
  label?: string;
  hint?: string;
  /** What stands on the button beside the field. */
  act?: string;
  size?: ButtonSize;
  /** What became of the last scan, as a sentence; read out. */
  heard?: string | null;
  /** The last scan was refused: the sentence is read out at once. */
  refused?: boolean;
};

/**
 * The one scan field of a screen. A scan lands here wherever the focus is, unless the
 * person is writing in another field: its Enter never presses the button that has the
 * focus. While a question stands open a scan is taken by nobody and that is said.
 */
export function ScanField({ onScan, label = "Scan or type a tag", hint, act = "Add", size = "plain", heard = null, refused = false }: ScanFieldProps) {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const buffer = useRef<ScanBuffer>(emptyBuffer);
  const [text, setText] = useState("");
  const [lost, setLost] = useState<string | null>(null);
  const canLook = useSyncExternalStore(unchanging, browserReadsCodes, () => false);
  const [looking, setLooking] = useState(false);

  const take = (raw: string) => {
    const tag = tidyTag(raw);
    setText("");
    if (tag === "") return;
    setLost(null);
    onScan(tag, raw.trim());
  };

  const onKey = useEffectEvent((event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing || isWriting(event.target)) return;
    const at = event.timeStamp;
    if (event.key === "Enter") {
      const tag = scanned(buffer.current, at);
      buffer.current = emptyBuffer;
      if (tag === null) return;
      swallow(event);
      if (document.querySelector("dialog[open]") !== null) setLost(`${tag} was not taken: a question is open. Answer it, then scan again.`);
      else take(tag);
      return;
    }
    if (event.key.length !== 1) return;
    // A blank inside a scan would press the focused button.
    if (event.key === " " && isScanning(buffer.current, at)) swallow(event);
    buffer.current = withKey(buffer.current, event.key, at);
  });

  useEffect(() => {
    const listen = (event: KeyboardEvent) => onKey(event);
    document.addEventListener("keydown", listen, { capture: true });
    return () => document.removeEventListener("keydown", listen, { capture: true });
  }, []);

  const submit = (event: SyntheticEvent) => {
    event.preventDefault();
    take(text);
    field.current?.focus();
  };

  const said = lost ?? heard;
  return (
    <form method="post" onSubmit={submit} className="screen-only" role="search" aria-label={label}>
      <label htmlFor={id} className="mb-1 block font-semibold">
        {label}
      </label>
      {hint === undefined ? null : (
        <p id={`${id}-hint`} className="mb-1 text-soft">
          {hint}
        </p>
      )}
      <div className="flex gap-4">
        <input
          ref={field}
          id={id}
          className={`control min-w-0 font-plate font-bold ${size === "plain" ? "" : "min-h-[76px] text-2xl"}`}
          value={text}
          onChange={(event) => setText(event.target.value)}
          aria-describedby={hint === undefined ? undefined : `${id}-hint`}
          autoComplete="off"
          autoCapitalize="characters"
          autoCorrect="off"
          spellCheck={false}
          enterKeyHint="done"
          maxLength={140}
        />
        <Button type="submit" size={size}>
          <Icon name="scan" /> {act}
        </Button>
        {canLook ? (
          <Button size={size} aria-pressed={looking} aria-label="Scan with the camera" onClick={() => setLooking(!looking)}>
            <Icon name="camera" />
          </Button>
        ) : null}
      </div>
      {looking ? <CameraScan onCode={take} /> : null}
      <p role={refused || lost !== null ? "alert" : "status"} className="mt-2 min-h-[1.5em] font-semibold">
        {said}
      </p>
    </form>
  );
}

/** Whether this browser can read a code from a picture, and has a camera to ask for; both only where the page came safely. */
const browserReadsCodes = () => "BarcodeDetector" in window && "mediaDevices" in navigator;
const unchanging = () => () => undefined;

function isWriting(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target instanceof HTMLInputElement) return !["checkbox", "radio", "button", "submit", "reset"].includes(target.type);
  return target.isContentEditable || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;
}

function swallow(event: KeyboardEvent) {
  event.preventDefault();
  event.stopImmediatePropagation();
}
