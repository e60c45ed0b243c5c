"use client";
import { useId, type ReactNode } from "react";
import { ButtonLink } from "../../../components/button.tsx";
import { Icon, type IconName } from "../../../components/icon.tsx";

type PartProps = { title: string; icon: IconName; to: string; toWords: string; children: ReactNode };

/** One job's part of the first page, with the way to where it is dealt with. */
export function Part({ title, icon, to, toWords, children }: PartProps) {
  const id = useId();
  return (
    <section aria-labelledby={id} className="sheet grid content-start gap-5">
      <div className="flex flex-wrap items-center justify-between gap-4">
        <h2 id={id} className="flex items-center gap-3">
          <Icon name={icon} size={28} /> {title}
        </h2>
        <ButtonLink href={to} tone="primary">
          {toWords}
        </ButtonLink>
      </div>
      {children}
    </section>
  );
}

type MatterProps = {
  /** What it is, with its number, e.g. "2 sets late". */
  title: string;
  /** Needs somebody today: shown with a shape and in bold, not by colour alone. */
  pressing?: boolean;
  children?: ReactNode;
};

/** One matter within a part. */
export function Matter({ title, pressing = false, children }: MatterProps) {
  return (
    <div className="grid gap-2">
      <h3 className={pressing ? "tinted flex w-fit items-center gap-2 rounded-lg px-2.5 py-1" : ""} data-tone={pressing ? "warn" : undefined}>
        {pressing ? <Icon name="triangle" size={22} /> : null}
        {title}
      </h3>
      {children}
    </div>
  );
}
