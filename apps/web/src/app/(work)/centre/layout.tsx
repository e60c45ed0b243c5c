import type { ReactNode } from "react";
import { CentreTabs } from "./centre-tabs.tsx";

export default function CentreLayout({ children }: { children: ReactNode }) {
  return (
    <>
      <CentreTabs />
      {children}
    </>
  );
}
