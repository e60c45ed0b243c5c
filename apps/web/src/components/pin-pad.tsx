"use client";
import { useEffect, useId, useRef, useState } from "react";
import { Button } from "./button.tsx";
import { Icon } from "./icon.tsx";

export const pinLength = 6;

type PinPadProps = {
  label: string;
  pending: boolean;
  /** Why the last one was refused. */
  error?: string | null;
  /** Called by itself when the sixth digit is in. */
  onPin: (pin: string) => void;
};

/** Six digits by big keys or by keyboard. The digits are never shown, only how many there are. */
export function PinPad({ label, pending, error = null, onPin }: PinPadProps) {
  const id = useId();
  const field = useRef<HTMLInputElement>(null);
  const [pin, setPin] = useState("");
  // At the beginning, and again after a wrong one: whoever types goes on typing.
  useEffect(() => field.current?.focus(), [error]);

  const change = (next: string) => {
    if (pending) return;
    const digits = next.replaceAll(/\D/g, "").slice(0, pinLength);
    if (digits.length < pinLength) return setPin(digits);
    setPin("");
    onPin(digits);
  };

  return (
    <div role="group" aria-labelledby={`${id}-label`} className="max-w-96">
      <label id={`${id}-label`} htmlFor={id} className="mb-1 block font-semibold">
        {label}
      </label>
      <input ref={field} id={id} className="control text-center text-2xl tracking-[0.5em]" type="password" inputMode="numeric" autoComplete="off" value={pin} onChange={(event) => change(event.target.value)} aria-describedby={`${id}-said`} aria-invalid={error !== null || undefined} />
      <p id={`${id}-said`} role="status" className="my-2 min-h-[1.5em] font-semibold">
        {pending ? "Looking…" : (error ?? `${pin.length} of ${pinLength} digits`)}
      </p>
      <div className="grid grid-cols-3 gap-4">
        {["1", "2", "3", "4", "5", "6", "7", "8", "9"].map((digit) => (
          <Button key={digit} size="desk" onClick={() => change(pin + digit)}>
            {digit}
          </Button>
        ))}
        <span />
        <Button size="desk" onClick={() => change(`${pin}0`)}>
          0
        </Button>
        <Button size="desk" aria-label="Take back the last digit" onClick={() => setPin(pin.slice(0, -1))}>
          <Icon name="backspace" />
        </Button>
      </div>
    </div>
  );
}
