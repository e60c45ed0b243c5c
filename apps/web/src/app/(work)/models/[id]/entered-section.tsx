"use client";
import { useEffect, useId, useRef, useState, type ReactNode } from "react";
import { Button } from "../../../../components/button.tsx";
import { Notice } from "../../../../components/notice.tsx";
import { useHasRole } from "../../../../components/who.tsx";

type EnteredSectionProps = {
  title: string;
  /** On the button that opens the form. */
  enter: string;
  /** What is in force, and what was before. */
  children: ReactNode;
  /** The form; it calls one of the two when it is through. */
  form: (through: { onAccepted: (sentence: string) => void; onCancel: () => void }) => ReactNode;
};

/** A part of the manual: what is in force, and, for a technician, the way to a new version. */
export function EnteredSection({ title, enter, children, form }: EnteredSectionProps) {
  const id = useId();
  const technician = useHasRole("technician");
  const [entering, setEntering] = useState(false);
  const [said, setSaid] = useState<string | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const wasEntering = useRef(false);
  useEffect(() => {
    // The form is gone; whoever works by keyboard goes on from the heading it stood under.
    if (wasEntering.current && !entering) heading.current?.focus();
    wasEntering.current = entering;
  }, [entering]);
  const through = {
    onAccepted: (sentence: string) => {
      setSaid(sentence);
      setEntering(false);
    },
    onCancel: () => setEntering(false),
  };
  return (
    <section aria-labelledby={id} className="sheet grid gap-4">
      <h2 id={id} ref={heading} tabIndex={-1}>
        {title}
      </h2>
      {said === null ? null : (
        <Notice kind="ok" announce>
          <p>{said}</p>
        </Notice>
      )}
      {entering ? form(through) : children}
      {!technician || entering ? null : (
        <div>
          <Button
            onClick={() => {
              setSaid(null);
              setEntering(true);
            }}
          >
            {enter}
          </Button>
        </div>
      )}
    </section>
  );
}
