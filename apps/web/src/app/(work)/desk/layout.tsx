import type { ReactNode } from "react";
import { DeskTabs } from "./desk-tabs.tsx";

export default function DeskLayout({ children }: { children: ReactNode }) {
  return (
    <>
      <DeskTabs />
      {children}
    </>
  );
}
