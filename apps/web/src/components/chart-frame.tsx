import { useId, type ReactNode } from "react";

type ChartFrameProps = {
  title: string;
  /** What the picture says, what it does not, and what to do; in plain sentences. */
  says: ReactNode;
  /** The picture in a sentence, for whoever cannot see it. */
  picture: string;
  /** The drawing; its height is fixed, so that nothing jumps when it arrives. */
  children: ReactNode;
  height: number;
  /** The same numbers as a table. */
  numbers: ReactNode;
};

/** A chart with its sentence above and its numbers below, for eyes, screen readers and paper alike. */
export function ChartFrame({ title, says, picture, children, height, numbers }: ChartFrameProps) {
  const id = useId();
  return (
    <section aria-labelledby={id} className="mb-10">
      <h2 id={id}>{title}</h2>
      <div className="mt-1 mb-4 max-w-prose">{says}</div>
      <figure className="m-0">
        <div role="img" aria-label={picture} className="chart w-full" style={{ height }}>
          {children}
        </div>
        <figcaption className="sr-only">The same numbers follow as a table.</figcaption>
      </figure>
      <details className="mt-3">
        <summary className="inline-flex min-h-12 cursor-pointer items-center font-semibold underline underline-offset-4">The numbers</summary>
        <div className="mt-2">{numbers}</div>
      </details>
    </section>
  );
}
