"use client";
import { Button } from "./button.tsx";
import { Icon } from "./icon.tsx";

/** Prints the page as it stands; what is for the screen alone stays off the paper. */
export function PrintButton({ children = "Print" }: { children?: string }) {
  return (
    <Button onClick={() => window.print()}>
      <Icon name="print" /> {children}
    </Button>
  );
}
