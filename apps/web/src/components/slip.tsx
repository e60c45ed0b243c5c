"use client";
import type { ReactNode } from "react";
import { Button } from "./button.tsx";
import { Icon } from "./icon.tsx";

type SlipProps = {
  title: string;
  /** The centre's name and the moment of printing: what tells one slip from another. */
  source: string;
  children: ReactNode;
  /** Lines at the foot, e.g. the cautions that belong on paper. */
  foot?: ReactNode;
};

/** A part of a page that is made to be printed, with its own head and foot and a button that prints. */
export function Slip({ title, source, children, foot }: SlipProps) {
  return (
    <article className="sheet">
      <header className="mb-4 flex flex-wrap items-start justify-between gap-4 border-b-2 border-edge pb-3">
        <div>
          <h2>{title}</h2>
          <p className="text-soft">{source}</p>
        </div>
        <span className="screen-only">
          <Button onClick={() => window.print()}>
            <Icon name="print" /> Print
          </Button>
        </span>
      </header>
      {children}
      {foot === undefined ? null : <footer className="mt-4 border-t border-hairline pt-3 text-[0.9rem] text-soft">{foot}</footer>}
    </article>
  );
}
