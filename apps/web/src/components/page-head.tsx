import type { ReactNode } from "react";

type PageHeadProps = {
  title: ReactNode;
  /** One sentence: what this screen is for, or what it shows. */
  lead?: ReactNode;
  /** Buttons that belong to the whole page. */
  children?: ReactNode;
};

/** The one heading of a page. */
export function PageHead({ title, lead, children }: PageHeadProps) {
  return (
    <div className="mb-6 flex flex-wrap items-end justify-between gap-4">
      <div className="min-w-0">
        <h1>{title}</h1>
        {lead === undefined ? null : <p className="mt-1 max-w-prose text-soft">{lead}</p>}
      </div>
      {children === undefined ? null : <div className="screen-only flex flex-wrap gap-4">{children}</div>}
    </div>
  );
}
