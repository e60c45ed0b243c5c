import type { ReactNode } from "react";
import { Mark } from "./mark.tsx";

/** The frame of the few pages that nobody is signed in on: the mark, one sheet, nothing else. */
export function PlainFrame({ children }: { children: ReactNode }) {
  return (
    <div className="mx-auto grid w-full max-w-3xl gap-6 px-4 py-8">
      <header className="flex items-center gap-3 text-xl font-bold text-sea">
        <Mark size={48} /> Hangrail
      </header>
      <main id="main" tabIndex={-1}>
        {children}
      </main>
    </div>
  );
}
